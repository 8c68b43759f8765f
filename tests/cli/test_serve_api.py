# SPDX-License-Identifier: Apache-2.0
"""The API over a real connection: every answer is checked against openapi.json."""

import gzip
import hashlib
import http.client
import io
import json
import re
import threading
import time
import unittest
import urllib.parse
import zipfile
from datetime import datetime, timezone
from pathlib import Path

import program
import serving

DEMO = program.ROOT / "demo"


def quoted(name):
    return urllib.parse.quote(name, safe="")


class Stories:
    """Runs on both databases; see below."""

    def setUp(self):
        super().setUp()
        self.server = self.enterContext(serving.Server(self.store()))
        self.client = serving.Client(self.server)

    def ask(self, status, method, target, body=None, headers=None):
        answer = self.client.ask(method, target, body, headers)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer

    def new_case(self, **fields):
        return self.ask(201, "POST", "/api/cases",
                        {"name": "bay 3", "drive": "vessgarth-v6-12", **fields}).json()

    def reading(self, **fields):
        return {"kind": "reading", "quantity": "journal diameter",
                "place": "bank 1 / intake camshaft / journal 1", "values": "27.957 27.958 27.956 mm",
                **fields}

    def test_status_is_told(self):
        status = self.ask(200, "GET", "/api/status").json()
        self.assertEqual(status["store_kind"], self.kind)
        self.assertFalse(status["shared"])
        self.assertEqual(status["cases"], 0)

    def test_a_case_from_start_to_findings(self):
        made = self.new_case(title="Rattles when cold")
        self.assertEqual(made["entries"], 0)
        first = self.ask(201, "POST", "/api/cases/bay%203/entries", {"entry": {
            "kind": "complaint", "words": "rattles for two seconds after a cold start"}}).json()
        self.assertEqual(first["entry"]["id"], "e1")
        self.assertTrue(first["entry"]["by"])
        second = self.ask(201, "POST", "/api/cases/bay%203/entries",
                          {"entry": {"kind": "note", "words": "oil is fresh"}}).json()
        self.assertEqual((second["entry"]["id"], second["seq"]), ("e2", first["seq"] + 1))
        view = self.ask(200, "GET", "/api/cases/bay%203").json()
        self.assertEqual([e["id"] for e in view["case"]["entries"]], ["e1", "e2"])
        self.assertEqual([r["hash"] for r in view["receipts"]], [first["hash"], second["hash"]])
        self.assertEqual(view["summary"]["head_hash"], second["hash"])
        findings = self.ask(200, "GET", "/api/cases/bay%203/findings").json()
        self.assertEqual(findings["schema"], "findings/1")
        self.assertEqual(findings["after_record"], second["seq"])
        self.assertIn("DO NOT TURN", json.dumps(findings))
        # A file changes nothing that is judged; the number counts it all the same.
        self.ask(201, "POST", "/api/cases/bay%203/files?name=a.txt", b"x", {
            "Content-Type": "application/octet-stream"})
        again = self.ask(200, "GET", "/api/cases/bay%203/findings").json()
        self.assertEqual(again, {**findings, "after_record": second["seq"] + 1})
        self.assertIn("<svg", self.ask(200, "GET", "/api/cases/bay%203/drawing").bytes.decode())
        self.assertIn("<html", self.ask(200, "GET", "/api/cases/bay%203/sheet").bytes.decode())
        self.assertTrue(self.ask(200, "GET", "/api/cases/bay%203/brief").bytes)
        verified = self.ask(200, "GET", f"/api/cases/bay%203/verify?head={first['hash']}").json()
        last = self.ask(200, "GET", "/api/cases/bay%203").json()["summary"]["head_hash"]
        self.assertEqual(verified, {"holds": True, "head_hash": last, "problems": [], "notes": []})
        verified = self.ask(200, "GET", f"/api/cases/bay%203/verify?head={'0' * 64}").json()
        self.assertFalse(verified["holds"])

    def test_the_chain_can_be_recomputed_elsewhere(self):
        """The definition of docs/formats/store.md, with hashlib."""
        made = self.new_case()
        for words in ("one", "two — ü"):
            self.ask(201, "POST", "/api/cases/bay%203/entries",
                     {"entry": {"kind": "note", "words": words}, "key": words})
        listed = self.ask(200, "GET", "/api/cases/bay%203/records").json()
        before = "0" * 64
        for record in listed["records"]:
            at = record["at"]
            seconds = datetime.strptime(at[:19], "%Y-%m-%dT%H:%M:%S").replace(tzinfo=timezone.utc)
            microseconds = int(seconds.timestamp()) * 1_000_000 + int(at[20:26])
            lines = ["tautmark-record/1", before, made["uid"], str(record["seq"]), record["kind"],
                     record.get("entry_id", ""), record.get("client_key", ""), str(microseconds),
                     record["seat"], hashlib.sha256(record["body"].encode()).hexdigest()]
            before = hashlib.sha256("".join(f"{line}\n" for line in lines).encode()).hexdigest()
            self.assertEqual(before, record["hash"])

    def test_what_cannot_be_used_is_refused_at_its_place(self):
        self.new_case()
        target = "/api/cases/bay%203/entries"
        wrong = self.ask(422, "POST", target,
                         {"entry": self.reading(values="27.957 27.958")}).json()
        self.assertIn("unit", json.dumps(wrong["mistakes"]))
        self.ask(422, "POST", target, {"entry": self.reading(place="bank 9 / camshaft")})
        self.ask(422, "POST", target, {"entry": {"kind": "note", "words": "x", "replaces": "e77"}})
        self.ask(422, "POST", target, {"entry": {"kind": "rumour", "words": "x"}})
        self.ask(422, "POST", target, b"{not json")
        self.ask(404, "POST", "/api/cases/nowhere/entries",
                 {"entry": {"kind": "note", "words": "x"}})
        self.assertEqual(self.ask(200, "GET", "/api/cases/bay%203").json()["summary"]["entries"], 0)

    def test_sent_twice_is_stored_once(self):
        self.new_case()
        sent = {"entry": {"kind": "note", "words": "from the bay without network"}, "key": "k1"}
        first = self.ask(201, "POST", "/api/cases/bay%203/entries", sent).json()
        time.sleep(1.1)  # the time that is filled in is another one
        again = self.ask(200, "POST", "/api/cases/bay%203/entries", sent).json()
        self.ask(409, "POST", "/api/cases/bay%203/entries",
                 {"entry": {"kind": "note", "words": "something else"}, "key": "k1"})
        self.assertEqual((first["seq"], first["hash"]), (again["seq"], again["hash"]))
        self.assertEqual(self.ask(200, "GET", "/api/cases/bay%203").json()["summary"]["entries"], 1)

    def test_the_head_can_change_and_nothing_else_does(self):
        self.new_case()
        self.ask(201, "POST", "/api/cases/bay%203/entries",
                 {"entry": {"kind": "note", "words": "x"}})
        self.ask(201, "POST", "/api/cases/bay%203/head", {
            "title": "Another title",
            "instruments": [{"name": "micrometer 1", "resolution": "0.001 mm"}]})
        case = self.ask(200, "GET", "/api/cases/bay%203").json()["case"]
        self.assertEqual(case["title"], "Another title")
        self.assertEqual(case["drive"], "vessgarth-v6-12")
        self.assertEqual(len(case["entries"]), 1)
        self.ask(422, "POST", "/api/cases/bay%203/head", {"drive": "no-such-drive"})
        self.ask(201, "POST", "/api/cases/bay%203/entries",
                 {"entry": {"kind": "note", "words": "after the change"}})

    def test_two_seats_at_once(self):
        self.new_case()
        each = 25
        problems = []

        def seat(name):
            client = serving.Client(self.server)
            for n in range(each):
                answer = client.ask("POST", "/api/cases/bay%203/entries",
                                    {"entry": {"kind": "note", "words": f"{name} {n}"}})
                if answer.status != 201:
                    problems.append(answer)

        threads = [threading.Thread(target=seat, args=(name,)) for name in ("anna", "ben")]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertEqual(problems, [])
        entries = self.ask(200, "GET", "/api/cases/bay%203").json()["case"]["entries"]
        self.assertEqual([e["id"] for e in entries], [f"e{n}" for n in range(1, 2 * each + 1)])
        for name in ("anna", "ben"):
            own = [e["words"] for e in entries if e["words"].startswith(name)]
            self.assertEqual(own, [f"{name} {n}" for n in range(each)])
        self.assertTrue(self.ask(200, "GET", "/api/cases/bay%203/verify").json()["holds"])

    def test_files_go_in_and_out(self):
        self.new_case()
        data = bytes(range(256)) * 20_000  # five pieces
        sent = self.ask(201, "POST", f"/api/cases/bay%203/files?name={quoted('photos/bay.jpg')}",
                        data, {"Content-Type": "application/octet-stream"}).json()
        self.assertEqual(sent["sha256"], hashlib.sha256(data).hexdigest())
        target = f"/api/cases/bay%203/file?name={quoted('photos/bay.jpg')}"
        self.assertEqual(self.ask(200, "GET", target).bytes, data)
        part = self.ask(206, "GET", target, headers={"Range": "bytes=1048570-1048589"})
        self.assertEqual(part.bytes, data[1048570:1048590])
        self.assertEqual(self.ask(206, "GET", target, headers={"Range": "bytes=-3"}).bytes,
                         data[-3:])
        self.ask(416, "GET", target, headers={"Range": f"bytes={len(data)}-"})
        self.assertEqual(self.ask(200, "GET", "/api/cases/bay%203/files").json()["files"][0]["name"],
                         "photos/bay.jpg")
        octets = {"Content-Type": "application/octet-stream"}
        for bad in ("../x", "/etc/passwd", "a/../../b", "case.yaml", ""):
            answer = self.client.ask("POST", f"/api/cases/bay%203/files?name={quoted(bad)}", b"x",
                                     octets)
            self.assertIn(answer.status, (400, 409, 422), bad)
        self.ask(409, "POST", f"/api/cases/bay%203/files?name={quoted('photos/bay.jpg')}", b"other",
                 octets)
        self.ask(404, "GET", "/api/cases/bay%203/file?name=none")

    def import_demo(self, name="vessgarth"):
        self.expect(0, "case", "pack", DEMO / name, "-o", "demo.zip", "--drives",
                    program.ROOT / "drives")
        return self.ask(201, "POST", "/api/cases/import", (self.folder / "demo.zip").read_bytes(),
                        {"Content-Type": "application/zip"}).json()["summary"]

    def test_a_demo_case_in_and_out(self):
        summary = self.import_demo()
        case = f"/api/cases/{quoted(summary['name'])}"
        findings = self.ask(200, "GET", f"{case}/findings").json()
        by_hand = program.run("judge", DEMO / "vessgarth", "--json", "-")
        self.assertEqual(findings["summary"], json.loads(by_hand.stdout)["summary"])
        self.assertEqual(findings["findings"], json.loads(by_hand.stdout)["findings"])
        packed = self.ask(200, "GET", f"{case}/pack")
        with zipfile.ZipFile(io.BytesIO(packed.bytes)) as opened:
            names = opened.namelist()
            self.assertEqual(opened.read("case.yaml"), (DEMO / "vessgarth" / "case.yaml").read_bytes())
        for file in (DEMO / "vessgarth" / "recordings").iterdir():
            self.assertIn(f"recordings/{file.name}", names)
        again = self.ask(200, "POST", "/api/cases/import", packed.bytes,
                         {"Content-Type": "application/zip"}).json()
        self.assertEqual(again["records_added"], 0)
        self.assertEqual(again["summary"]["head_hash"], summary["head_hash"])

    def test_recordings_of_a_case(self):
        summary = self.import_demo()
        case = f"/api/cases/{quoted(summary['name'])}"
        files = self.ask(200, "GET", f"{case}/files").json()["files"]
        name = next(f["name"] for f in files if f["name"].startswith("recordings/"))
        asked = f"?name={quoted(name)}"
        told = self.ask(200, "GET", f"{case}/recording{asked}").json()
        self.assertEqual(told["schema"], "recording/1")
        # The case judges, by its drive; of the recording alone there is no verdict.
        self.assertTrue(any("window" in cam for cam in told["cams"]))
        self.assertNotIn('"verdict"', json.dumps(told))
        self.assertIn("<svg", self.ask(200, "GET", f"{case}/recording/plot{asked}").bytes.decode())
        wave = self.ask(200, "GET", f"{case}/recording/wave{asked}&channel=1&bins=64")
        self.assertEqual(wave.bytes[:8], b"TMWAVE1\n")
        self.ask(400, "GET", f"{case}/recording/wave{asked}&channel=x")
        self.ask(404, "GET", f"{case}/recording?name=none.csv")
        self.assertTrue(self.ask(200, "GET", f"{case}/motion").json()["chains"])
        self.check_decoded_edges(f"{case}/recording/marks{asked}",
                                 self.ask(200, "GET", f"{case}/file{asked}").bytes.decode())

    def test_what_is_no_recording_is_not_kept(self):
        self.new_case()
        send = lambda name, body, how: self.client.ask(
            "POST", f"/api/cases/bay%203/files?name={quoted(name)}{how}", body,
            {"Content-Type": "application/octet-stream"})
        wrong = send("recordings/a.csv", b"this is a letter", "&as=recording")
        self.assertEqual(wrong.status, 422, wrong)
        self.assertIn("was not kept", wrong.json()["detail"])
        self.assertEqual(send("recordings/a.csv", b"x", "&as=picture").status, 400)
        self.assertEqual(self.ask(200, "GET", "/api/cases/bay%203/files").json()["files"], [])
        # Beside a case anything may lie, if it is not said to be a recording.
        self.assertEqual(send("a.txt", b"this is a letter", "").status, 201)

    def test_waves_of_a_new_recording_are_made_before_anybody_looks(self):
        self.new_case()
        rows = "".join(f"{i / 1000},{i % 5},{i % 7}\n" for i in range(5000))
        self.ask(201, "POST", "/api/cases/bay%203/files?name=recordings/b.csv&as=recording",
                 f"time,a,b\n{rows}".encode(), {"Content-Type": "application/octet-stream"})
        made = lambda: {path.name[-6:] for path in Path(self.server.scratch.name).rglob("*-wave-*")}
        until = time.monotonic() + 20
        while not {"wave-1", "wave-2"} <= made() and time.monotonic() < until:
            time.sleep(0.05)
        self.assertEqual(made(), {"wave-1", "wave-2"})

    def test_what_a_quick_answer_found_off_forbids_turning_in_the_case(self):
        self.new_case()
        typed = {"marks": "wrong", "teeth": "2", "camshaft": "intake", "direction": "late"}
        said = [{"input": name, "text": text} for name, text in typed.items()]
        told = self.ask(200, "POST", "/api/quick/turn", {"typed": said}).json()["answer"]
        self.assertIn("2 teeth late", told["forbids"])
        entry = {"kind": "quick", "question": "turn", "answer": told["lines"],
                 "asked": [f"{one['input']} {one['text']}" for one in told["asked"]],
                 "forbids": told["forbids"]}
        self.ask(201, "POST", "/api/cases/bay%203/entries", {"entry": entry})
        turning = self.ask(200, "GET", "/api/cases/bay%203/findings").json()["turning"]
        self.assertEqual(turning["answer"], "DO NOT TURN")
        self.assertIn("the intake camshaft stands 2 teeth late", turning["because"])
        self.assertIn("(e1)", turning["because"])

    def test_a_recording_is_read_by_the_entry_in_force(self):
        summary = self.import_demo()
        case = f"/api/cases/{quoted(summary['name'])}"
        entries = self.ask(200, "GET", case).json()["case"]["entries"]
        old = next(e for e in entries if e["kind"] == "recording" and e.get("file"))
        asked = f"{case}/recording?name={quoted(old['file'])}"
        before = self.ask(200, "GET", asked).json()
        self.assertTrue(before["cams"])
        hints = [{"channel": cam["channel"], "is": "not used"} for cam in before["cams"]]
        enter = lambda **more: self.ask(201, "POST", f"{case}/entries", {"entry": {
            "kind": "recording", "file": old["file"], **more}}).json()["entry"]["id"]
        wrong = enter(channels=hints)
        self.assertNotEqual(self.ask(200, "GET", asked).json()["cams"], before["cams"])
        enter(channels=old.get("channels", []), phasers=old.get("phasers", "unknown"),
              replaces=wrong)
        self.assertEqual(self.ask(200, "GET", asked).json()["cams"], before["cams"])

    def check_decoded_edges(self, path, recorded):
        """Every tooth that is told stands on a rising edge of the file, and none is left out."""
        rows = [[float(cell) for cell in line.split(",")] for line in recorded.splitlines()
                if line[:1].isdigit()]
        rising = [row[0] for before, row in zip(rows, rows[1:]) if row[1] > before[1]]
        told = self.ask(200, "GET", f"{path}&from=1.5&to=2&most=20000").json()
        teeth = [mark["time_s"] for mark in told["marks"] if mark["channel"] == 1]
        inside = [time for time in rising if 1.5 <= time < 2]
        self.assertEqual(len(teeth), len(inside))
        for a, b in zip(teeth, inside):
            self.assertAlmostEqual(a, b, delta=2e-5)
        self.assertEqual(told["found"], len(told["marks"]))
        few = self.ask(200, "GET", f"{path}&from=1.5&to=2&most=3").json()
        self.assertEqual((few["found"], few["marks"]), (told["found"], []))
        self.ask(400, "GET", f"{path}&most=0")

    def test_search(self):
        self.new_case(title="Rattles when cold")
        self.new_case(name="bay 4", title="Quiet one")
        found = lambda q: [c["name"] for c in self.ask(
            200, "GET", f"/api/cases?q={quoted(q)}").json()["cases"]]
        self.assertEqual(found(""), ["bay 4", "bay 3"])
        self.assertEqual(found("rattl"), ["bay 3"])
        self.assertEqual(found("vessgarth cold"), ["bay 3"])
        self.assertEqual(found("nothing-of-this"), [])
        self.ask(400, "GET", "/api/cases?limit=0")

    def test_deleting_is_an_act(self):
        self.new_case()
        self.ask(422, "DELETE", "/api/cases/bay%203", {"reason": ""})
        self.ask(200, "PUT", "/api/cases/bay%203/keep", {"until": "2099-12-31", "reason": "court"})
        kept = self.ask(422, "DELETE", "/api/cases/bay%203", {"reason": "tidying up"}).json()
        self.assertIn("2099-12-31", kept["detail"])
        self.new_case(name="bay 4")
        self.ask(204, "DELETE", "/api/cases/bay%204", {"reason": "made by mistake"})
        self.ask(404, "GET", "/api/cases/bay%204")
        audit = self.ask(200, "GET", "/api/audit").json()["entries"]
        self.assertTrue(any("made by mistake" in json.dumps(entry) for entry in audit))

    def test_drives(self):
        names = [d["name"] for d in self.ask(200, "GET", "/api/drives").json()["drives"]]
        self.assertIn("vessgarth-v6-12", names)
        self.assertEqual(self.ask(200, "GET", "/api/drives/vessgarth-v6-12").json()["name"],
                         "vessgarth-v6-12")
        self.ask(200, "GET", "/api/drives/vessgarth-v6-12/check")
        self.assertIn("<svg",
                      self.ask(200, "GET", "/api/drives/vessgarth-v6-12/drawing").bytes.decode())
        moving = self.ask(200, "GET", "/api/drives/vessgarth-v6-12/motion").json()
        self.assertIn("Never backwards", moving["backwards"])
        crank = moving["wheels"][0]
        for chain in moving["chains"]:
            self.assertAlmostEqual(sum(piece["pitches"] for piece in chain["way"]), chain["links"])
            self.assertEqual(chain["pitches_per_turn"], crank["teeth"])
        for bad in ("none", "..%2f..%2fetc%2fpasswd"):
            self.assertEqual(self.client.raw("GET", f"/api/drives/{bad}/motion").status // 100, 4)
            answer = self.client.raw("GET", f"/api/drives/{bad}")
            self.assertIn(answer.status, (400, 404))

    def test_changes_reach_open_pages(self):
        self.new_case()
        events = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=20)
        events.request("GET", "/api/events?case=bay%203")
        stream = events.getresponse()
        self.assertEqual(stream.getheader("Content-Type").split(";")[0], "text/event-stream")
        self.ask(201, "POST", "/api/cases/bay%203/entries",
                 {"entry": {"kind": "note", "words": "look"}})
        data = ""
        while not data.startswith("data:"):
            data = stream.readline().decode()
        self.assertEqual(json.loads(data[5:])["case"], "bay 3")
        # And what another program writes.
        if self.kind == "embedded":
            done = program.run("case", "import", DEMO / "quellmere", "--as", "bay 3 too", "--store",
                               self.store())
            self.assertEqual(done.returncode, 0, done.stderr)
        events.close()

    def test_the_page_is_there(self):
        page = self.ask(200, "GET", "/")
        self.assertEqual(page.type, "text/html")
        self.assertIn("default-src 'self'", page.headers["Content-Security-Policy"])
        self.assertEqual(page.headers["X-Content-Type-Options"], "nosniff")
        self.assertEqual(page.headers["Cache-Control"], "no-cache")
        again = self.client.raw("GET", "/", headers={"If-None-Match": page.headers["ETag"]})
        self.assertEqual(again.status, 304)
        for path in re.findall(r'(?:src|href)="(/[^"]+)"', page.bytes.decode()):
            plain = self.ask(200, "GET", path)
            packed = self.ask(200, "GET", path, headers={"Accept-Encoding": "br, gzip"})
            self.assertEqual(plain.headers["Vary"], "Accept-Encoding", path)
            self.assertEqual(packed.headers["Content-Encoding"], "gzip", path)
            self.assertEqual(gzip.decompress(packed.bytes), plain.bytes, path)
            self.assertNotEqual(packed.headers["ETag"], plain.headers["ETag"], path)


class OnTheEmbeddedStore(Stories, program.InFolder):
    kind = "embedded"

    def store(self):
        return self.folder / "shop.store"


class OnPostgres(Stories, serving.OnPostgres):
    def store(self):
        if not hasattr(self, "database"):
            self.database = self.new_database()
        return self.database


if __name__ == "__main__":
    unittest.main()
