# SPDX-License-Identifier: Apache-2.0
"""What a server says and takes: definitions beside a case, names, roles of a PIN, small print."""

import hashlib
import http.client
import json
import re
import unittest
import urllib.parse

import program
import serving
import working
from shared import Shared

DRIVES = program.ROOT / "drives"
DRIVE = "vessgarth-v6-12"
OCTETS = {"Content-Type": "application/octet-stream"}
CASE = "/api/cases/bay%203"
FILE = f"{CASE}/files?name={DRIVE}.drive.yaml"
DIFFERS = "differs from the shop's own"


def other_drive():
    """The shop's drive with another revision, checked by whom it likes."""
    text = (DRIVES / f"{DRIVE}.drive.yaml").read_text()
    assert re.search(r"(?m)^checked_by:", text)
    text = re.sub(r"(?m)^revision:.*$", "revision: forged", text)
    return re.sub(r"(?m)^checked_by:.*$", "checked_by: second reader, 2026-01-01", text).encode()


class OfOneSeat(working.Working):
    def setUp(self):
        super().setUp()
        self.store = self.folder / "shop.store"
        self.serve(self.store)
        self.ask(201, "POST", "/api/cases", {"name": "bay 3", "drive": DRIVE})

    def note(self, words="x", **fields):
        return self.ask(201, "POST", f"{CASE}/entries",
                        {"entry": {"kind": "note", "words": words, **fields}}).json()

    def test_a_definition_beside_the_case_that_differs_is_said_everywhere(self):
        (drive,) = self.ask(200, "GET", f"{CASE}/findings").json()["drives"]
        self.assertFalse(drive["differs_from_shop"])
        for report in ("brief", "sheet"):
            self.assertNotIn(DIFFERS, self.ask(200, "GET", f"{CASE}/{report}").bytes.decode())
        self.ask(201, "POST", FILE, other_drive(), OCTETS)
        (drive,) = self.ask(200, "GET", f"{CASE}/findings").json()["drives"]
        self.assertTrue(drive["differs_from_shop"])
        self.assertEqual(drive["revision"], "forged")
        self.assertIn(DIFFERS, self.ask(200, "GET", f"{CASE}/brief").bytes.decode())
        sheet = self.ask(200, "GET", f"{CASE}/sheet").bytes.decode().replace("&#39;", "'")
        self.assertIn(DIFFERS, sheet)
        self.assertIn("says of itself: checked by second reader", sheet)
        self.expect(0, "case", "export", "bay 3", "-o", "out", "--store", self.store)
        said = program.run("judge", self.folder / "out", "--drives", DRIVES, cwd=self.folder).stdout
        self.assertIn(DIFFERS, " ".join(said.split()))
        self.assertIn("says of itself: checked by second reader", " ".join(said.split()))

    def test_the_same_definition_beside_the_case_is_no_news(self):
        self.ask(201, "POST", FILE, (DRIVES / f"{DRIVE}.drive.yaml").read_bytes(), OCTETS)
        (drive,) = self.ask(200, "GET", f"{CASE}/findings").json()["drives"]
        self.assertFalse(drive["differs_from_shop"])

    def test_attaching_a_definition_is_noted(self):
        self.ask(201, "POST", FILE, other_drive(), OCTETS)
        self.ask(201, "POST", FILE, other_drive(), OCTETS)
        acts = [(one["what"], one["subject"], one.get("detail", ""))
                for one in self.ask(200, "GET", "/api/audit").json()["entries"]]
        (act,) = [act for act in acts if act[0] == "drive attached"]
        self.assertEqual(act[1], "bay 3")
        self.assertIn(hashlib.sha256(other_drive()).hexdigest(), act[2])

    def test_no_case_has_the_name_of_a_path(self):
        """Every word that stands where a case's name stands, of the document."""
        names = {path.split("/")[3] for path in self.client.document["paths"]
                 if path.startswith("/api/cases/")} - {"{case}"}
        self.assertIn("import", names)
        for name in names:
            said = self.ask(422, "POST", "/api/cases", {"name": name, "drive": DRIVE}).json()
            self.assertIn("another name", said["detail"])
            self.expect(0, "case", "export", "bay 3", "-o", f"of {name}", "--store", self.store)
            folder = self.folder / f"of {name}"
            (folder / "record.jsonl").unlink()
            for words in (("--as", name), ()):
                if not words:
                    case = folder / "case.yaml"
                    case.write_text(re.sub(r"(?m)^name:.*$", f"name: {name}", case.read_text()))
                refused = self.expect(2, "case", "import", folder, *words, "--store", self.store,
                                      "--drives", DRIVES)
                self.assertIn("another name", refused.stderr)
        self.ask(201, "POST", "/api/cases", {"name": "imported", "drive": DRIVE})

    def test_a_name_that_is_too_long_hears_how_long_it_is(self):
        said = self.ask(422, "POST", "/api/cases", {"name": "ü" * 101, "drive": DRIVE}).json()
        self.assertIn("101 characters, 202 bytes", said["detail"])
        self.ask(201, "POST", "/api/cases", {"name": "ü" * 100, "drive": DRIVE})

    def test_words_are_found_whatever_their_case_and_decimal_sign(self):
        self.note("Ärger mit Müller, Lange Straße; 27.98 and 1,5 at bank 2")
        for query in ("ÄRGER", "ärger", "MÜLLER", "STRASSE", "strasse", "27,98", "27.98", "1.5",
                      "bank2", "words:müller"):
            listed = self.ask(200, "GET", f"/api/cases?q={urllib.parse.quote(query)}").json()
            self.assertEqual(listed["found"], 1, query)
        self.assertEqual(self.ask(200, "GET", "/api/cases?q=27%2C97").json()["found"], 0)

    def test_a_known_file_is_not_sent_again(self):
        self.ask(201, "POST", f"{CASE}/files?name=a.txt", b"some bytes", OCTETS)
        tag = self.ask(200, "GET", f"{CASE}/file?name=a.txt").headers["ETag"]
        for said in (tag, f'"other", W/{tag}', "*"):
            known = self.ask(304, "GET", f"{CASE}/file?name=a.txt",
                             headers={"If-None-Match": said})
            self.assertEqual((known.bytes, known.headers["ETag"]), (b"", tag))
        self.ask(200, "GET", f"{CASE}/file?name=a.txt", headers={"If-None-Match": '"other"'})

    def test_what_is_required_is_asked_for(self):
        seen = 0
        for pattern, operations in self.client.document["paths"].items():
            for method, operation in operations.items():
                required = [p["name"] for p in operation.get("parameters", [])
                            if p["in"] == "query" and p["required"]]
                for missing in required:
                    query = "&".join(f"{name}=1" for name in required if name != missing)
                    body = b"x" if "requestBody" in operation else None
                    said = self.ask(400, method.upper(),
                                    pattern.replace("{case}", "bay%203") + "?" + query, body,
                                    OCTETS if body else None).json()
                    self.assertIn(missing, said["detail"])
                    seen += 1
        self.assertGreater(seen, 4)

    def test_times_of_a_wave_are_those_of_the_recording(self):
        rows = "".join(f"{n / 1000},{n % 7}\n" for n in range(2000))
        self.ask(201, "POST", f"{CASE}/files?name=a.csv", f"time s,crank V\n{rows}".encode(),
                 OCTETS)
        wave = f"{CASE}/recording/wave?name=a.csv&channel=1"
        self.ask(200, "GET", wave)
        self.ask(200, "GET", f"{wave}&from=-0.5&to=2.5")
        for times in ("from=-1&to=1e300", "from=-1e9", "to=50", "from=nan", "from=2&to=1"):
            self.ask(400, "GET", f"{wave}&{times}")

    def test_a_new_case_takes_all_that_stands_before_the_entries(self):
        self.ask(201, "POST", "/api/cases", {
            "name": "bay 4", "drive": DRIVE, "decimal_sign": "comma", "engine": {"serial": "17"},
            "instruments": [{"name": "micrometer 1", "resolution": "0,001 mm"}]})
        case = self.ask(200, "GET", "/api/cases/bay%204").json()["case"]
        self.assertEqual(case["decimal_sign"], "comma")
        self.assertEqual(case["engine"], {"serial": "17"})
        self.assertEqual(case["instruments"][0]["resolution"], "0,001 mm")

    def test_an_empty_head_is_refused(self):
        before = self.ask(200, "GET", CASE).json()["summary"]["head_seq"]
        self.ask(422, "POST", f"{CASE}/head", {})
        self.assertEqual(self.ask(200, "GET", CASE).json()["summary"]["head_seq"], before)

    def test_a_date_to_keep_reaches_open_pages(self):
        events = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=20)
        self.addCleanup(events.close)
        events.request("GET", "/api/events?case=bay%203")
        stream = events.getresponse()
        self.ask(200, "PUT", f"{CASE}/keep", {"until": "2099-12-31", "reason": "court"})
        data = ""
        while not data.startswith("data:"):
            data = stream.readline().decode()
        self.assertEqual(json.loads(data[5:])["case"], "bay 3")

    def test_a_broken_pack_is_called_that(self):
        said = self.ask(422, "POST", "/api/cases/import", b"no zip at all",
                        {"Content-Type": "application/zip"})
        self.assertEqual({one["file"] for one in said.json()["mistakes"]}, {"the packed case"})
        self.assertNotIn("in.zip", said.bytes.decode())


class OfSeveralSeats(Shared):
    def test_with_a_pin_one_may_write_at_most(self):
        self.ask(200, self.anna, "PUT", "/api/accounts/Anna%20Q", {"pin": "2580"})
        tablet = self.tablet()
        me = self.ask(200, tablet, "POST", "/api/login/pin",
                      {"name": "Anna Q", "pin": "2580"}).json()
        self.assertEqual(me["role"], "write")
        self.assertIn("log in with your password for this", me["note"])
        self.assertEqual(self.ask(200, tablet, "GET", "/api/me").json()["role"], "write")
        self.ask(201, tablet, "POST", "/api/cases", {"name": "bay 3"})
        for method, target, body in (
                ("DELETE", CASE, {"reason": "x"}), ("GET", "/api/accounts", None),
                ("POST", "/api/accounts", {"name": "New", "role": "manage",
                                           "password": "ring spanner ten"})):
            said = self.ask(403, tablet, method, target, body).json()
            self.assertIn("log in with your password for this", said["detail"])
        # The same tablet, with the password.
        me = self.ask(200, tablet, "POST", "/api/login",
                      {"name": "Anna Q", "password": self.server.PASSWORD}).json()
        self.assertEqual(me["role"], "manage")
        self.assertNotIn("note", me)
        self.ask(204, tablet, "DELETE", CASE, {"reason": "made for a test"})

    def test_a_definition_beside_a_case_is_put_there_by_who_may_manage(self):
        will = self.person("Will", "write")
        self.ask(201, will, "POST", "/api/cases", {"name": "bay 3", "drive": DRIVE})
        self.ask(422, will, "POST", f"{CASE}/files?name=X.DRIVE.YAML", b"x", OCTETS)  # no such name
        for name in (f"{DRIVE}.drive.yaml", f"{DRIVE}.drive.json"):
            said = self.ask(403, will, "POST", f"{CASE}/files?name={name}", b"x", OCTETS).json()
            self.assertIn("may manage", said["detail"])
        self.assertEqual(self.ask(200, will, "GET", f"{CASE}/files").json()["files"], [])
        self.ask(201, will, "POST", f"{CASE}/files?name=drive.yaml.txt", b"x", OCTETS)
        self.ask(201, self.anna, "POST", FILE, other_drive(), OCTETS)
        self.assertIn(("drive attached", "bay 3"), self.acts())

    def test_accounts_are_found_whatever_their_case_and_change_whole(self):
        self.person("Bert Strauß", "write")
        target = "/api/accounts/" + urllib.parse.quote("BERT STRAUSS")
        changed = self.ask(200, self.anna, "PUT", target, {"role": "read"}).json()
        self.assertEqual((changed["name"], changed["role"]), ("Bert Strauß", "read"))
        for wrong in ({"role": "manage", "pin": "12"}, {"role": "manage", "password": "short"},
                      {"pin": "2580", "password": "short"}):
            self.ask(422, self.anna, "PUT", target, wrong)
        acts = self.acts()
        # The last who may manage stays, with the password that she has.
        self.ask(422, self.anna, "PUT", "/api/accounts/ANNA%20q",
                 {"password": "another long one", "disabled": True})
        self.assertEqual(self.acts(), acts)
        listed = self.ask(200, self.anna, "GET", "/api/accounts").json()["accounts"]
        (bert,) = [one for one in listed if one["name"] == "Bert Strauß"]
        self.assertEqual((bert["role"], bert["has_pin"]), ("read", False))
        self.ask(404, self.anna, "PUT", "/api/accounts/nobody", {"role": "read"})

    def test_who_stored_an_entry_stands_beside_it(self):
        self.person("Will", "write")
        self.ask(201, self.anna, "POST", "/api/cases", {"name": "bay 3"})
        self.ask(201, self.anna, "POST", f"{CASE}/entries",
                 {"entry": {"kind": "note", "words": "x", "by": "Will"}})
        view = self.ask(200, self.anna, "GET", CASE).json()
        self.assertEqual(view["case"]["entries"][0]["by"], "Will")
        self.assertEqual(view["receipts"][0]["seat"], "Anna Q")
        self.assertNotIn("was_there", view["receipts"][0])


if __name__ == "__main__":
    unittest.main()
