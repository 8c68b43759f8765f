# SPDX-License-Identifier: Apache-2.0
"""Recorded tightenings through the API: judged before they are kept, kept, and seen again."""

import json
import unittest
import urllib.parse
import xml.etree.ElementTree

import program
import serving
from torque_traces import torn, trace

DRIVE = "vessgarth-v6-12"
CASE = "/api/cases/bay3"
OF_MANY = "cylinder head bolts"
BYTES = {"Content-Type": "application/octet-stream"}


class Traces(program.InFolder):
    def setUp(self):
        super().setUp()
        self.server = self.enterContext(serving.Server(self.folder / "shop.tautmark"))
        self.client = serving.Client(self.server)
        self.addCleanup(self.client.close)
        self.ask(201, "POST", "/api/cases", {"name": "bay3", "drive": DRIVE})

    def ask(self, status, method, target, body=None, headers=None):
        answer = self.client.ask(method, target, body, headers)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer

    def read(self, text, status=200, **query):
        query = urllib.parse.urlencode({"fastener": "phaser bolt", **query})
        return self.ask(status, "POST", f"{CASE}/traces/read?{query}", text.encode(), BYTES).json()

    def keep(self, text, name, bolt, fastener="phaser bolt"):
        self.ask(201, "POST", f"{CASE}/files?name={name}&as=trace", text.encode(), BYTES)
        entry = {"kind": "torque trace", "fastener": fastener, "bolt": bolt, "file": name,
                 "by": "A."}
        return self.ask(201, "POST", f"{CASE}/entries", {"entry": entry}).json()["entry"]["id"]

    def seen(self, entry):
        return self.ask(200, "GET", f"{CASE}/traces/{entry}").json()

    def test_judged_before_it_is_kept_and_nothing_is_stored(self):
        told = self.read(trace(), bolt=1)
        self.assertEqual((told["schema"], told["entry"], told["bolt"], told["drive"]),
                         ("tightening-trace/1", None, 1, DRIVE))
        self.assertEqual((told["signs"], told["take_out"]), ([], False))
        # What was put in: 1.9 N·m per 1000 N, 1000 N per degree.
        self.assertAlmostEqual(told["values"]["gradient_Nm_per_deg"], 1.9, delta=0.03)
        self.assertEqual(self.ask(200, "GET", f"{CASE}/files").json()["files"], [])
        self.assertEqual(self.ask(200, "GET", CASE).json()["case"].get("entries", []), [])

    def test_a_cross_threaded_bolt_must_come_out(self):
        told = self.read(trace(cross=12), bolt=2)
        self.assertTrue(told["take_out"])
        first = told["signs"][0]
        self.assertEqual((first["sign"], first["take_out"]), ("cross-threaded", True))
        self.assertIn("look at both threads", " ".join(first["follows"]))
        self.assertTrue(first["looks_the_same"])

    def test_a_wrong_file_is_refused_with_its_place_before_it_is_stored(self):
        for refused in (self.read(torn(), 422),
                        self.ask(422, "POST", f"{CASE}/files?name=traces/a.csv&as=trace",
                                 torn().encode(), BYTES).json()):
            self.assertEqual(refused["title"], "No trace")
            self.assertIn("was not kept: line 41, column", refused["detail"])
            self.assertEqual(refused["mistakes"][0]["line"], 41)
            self.assertGreater(refused["mistakes"][0]["column"], 0)
        for text in ("this is a letter", "Angle;Torque\n1;2\n", "\0\1\2", "{}"):
            self.read(text, 422)
            self.ask(422, "POST", f"{CASE}/files?name=traces/a.csv&as=trace", text.encode(), BYTES)
        self.assertEqual(self.ask(200, "GET", f"{CASE}/files").json()["files"], [])

    def test_too_few_points_are_refused(self):
        refused = self.read("Angle [deg];Torque [N·m]\n1;2\n2;3\n", 422)
        self.assertEqual(refused["title"], "No trace")

    def test_sizes_end_somewhere(self):
        large = b"1;2\n" * (5 << 20)
        line = self.client.connect()
        self.addCleanup(line.close)
        line.putrequest("POST", f"{CASE}/traces/read?fastener=phaser%20bolt")
        for header, said in {**BYTES, "Content-Length": len(large)}.items():
            line.putheader(header, str(said))
        line.endheaders()
        self.assertEqual(line.getresponse().status, 413)
        wrong = self.ask(422, "POST", f"{CASE}/files?name=traces/a.csv&as=trace", large, BYTES)
        self.assertIn("16 MB", wrong.json()["detail"])
        many = "Angle [deg];Torque [N·m]\n" + "".join(f"{i / 100};{i / 1000}\n"
                                                      for i in range(100000))
        told = self.read(many)
        self.assertLessEqual(len(told["drawn"]["points"]), 2000)
        self.assertEqual(told["drawn"]["points"][-1], [999.99, 99.999])

    def test_what_is_asked_wrongly(self):
        self.ask(400, "POST", f"{CASE}/traces/read", trace().encode(), BYTES)
        self.assertIn("did you mean \"phaser bolt\"?",
                      self.read(trace(), 422, fastener="phaser bolts")["detail"])
        self.ask(404, "POST", "/api/cases/none/traces/read?fastener=x", b"", BYTES)
        self.ask(404, "GET", f"{CASE}/traces/e1")
        note = self.ask(201, "POST", f"{CASE}/entries",
                        {"entry": {"kind": "note", "words": "x", "by": "A."}}).json()
        self.ask(404, "GET", f"{CASE}/traces/{note['entry']['id']}")

    def test_what_the_definition_lacks_is_asked_and_can_be_said(self):
        told = self.read(trace(), fastener="guide bolts")
        self.assertEqual(told["answer"], "not judged")
        self.assertTrue(told["missing"])
        self.assertNotIn("values", told)
        said = {"fastener": "guide bolts", "thread": "M6x1", "class": "8.8", "condition": "oiled"}
        self.assertEqual(self.read(trace(), **said)["missing"], [])

    def test_is_what_the_command_says(self):
        entry = self.keep(trace(cross=12), "traces/2.csv", 2)
        told = self.seen(entry)
        file = self.folder / "2.csv"
        file.write_text(trace(cross=12))
        command = json.loads(self.expect(1, "tighten", DRIVE, "phaser bolt", "--trace", file,
                                         "--drives", program.ROOT / "drives",
                                         "--json", "-").stdout)
        for key in command:
            if key != "bolt":
                self.assertEqual(told[key], command[key], key)
        self.assertEqual(set(told) - set(command), {"entry", "drawn", "after_record"})

    def test_says_up_to_which_record_of_the_case_it_holds(self):
        entry = self.keep(trace(), "traces/1.csv", 1)
        before = self.seen(entry)["after_record"]
        self.assertEqual(self.ask(200, "GET", f"{CASE}/findings").json()["after_record"], before)
        self.keep(trace(), "traces/2.csv", 2)
        self.assertGreater(self.seen(entry)["after_record"], before)
        self.assertIsNone(self.read(trace())["after_record"])

    def test_one_not_kept_yet_is_of_its_bank(self):
        self.read(trace(), 400, bank="two")
        self.assertEqual(self.read(trace(), bank=2)["fastener"], "phaser bolt")

    def test_kept_it_is_judged_beside_its_brothers_and_drawn(self):
        entries = [self.keep(trace(slope=650 if bolt == 4 else 990 + 10 * bolt),
                             f"traces/{bolt}.csv", bolt, OF_MANY) for bolt in range(1, 5)]
        told = self.seen(entries[3])
        self.assertEqual((told["entry"], told["bolt"], told["file"]), (entries[3], 4, "4.csv"))
        self.assertEqual(told["others"]["count"], 3)
        self.assertIn("softer than its brothers", told["differs"])
        self.assertEqual(self.seen(entries[1])["differs"], "")
        self.assertGreater(len(told["drawn"]["points"]), 100)
        for paper in ("", "?paper=dark", "?paper=print"):
            drawing = self.ask(200, "GET", f"{CASE}/traces/{entries[3]}/plot{paper}")
            words = " ".join(xml.etree.ElementTree.fromstring(drawing.bytes).itertext())
            self.assertIn("torque, N·m", words)
        self.ask(400, "GET", f"{CASE}/traces/{entries[3]}/plot?paper=gold")
        # A fifth, not kept yet, is held against the other four; the fourth anew against three.
        for bolt, others in ((5, 4), (4, 3)):
            told = self.read(trace(), bolt=bolt, fastener=OF_MANY)
            self.assertEqual(told["others"]["count"], others)

    def test_the_case_judges_the_same_and_approves_nothing(self):
        good = self.keep(trace(), "traces/1.csv", 1)
        bad = self.keep(trace(cross=12), "traces/2.csv", 2)
        findings = self.ask(200, "GET", f"{CASE}/findings").json()["findings"]
        found = {one["evidence"][0]: one["verdict"] for one in findings
                 if one["check"] == "torque-trace"}
        self.assertEqual(found, {good: "open", bad: "fail"})
        self.assertFalse(self.seen(good)["take_out"])
        self.assertTrue(self.seen(bad)["take_out"])

    def test_one_that_was_corrected_is_not_in_force(self):
        first = self.keep(trace(), "traces/1.csv", 1)
        entry = {"kind": "torque trace", "fastener": "phaser bolt", "bolt": 2,
                 "file": "traces/1.csv", "by": "A.", "replaces": first}
        self.ask(201, "POST", f"{CASE}/entries", {"entry": entry})
        self.ask(404, "GET", f"{CASE}/traces/{first}")

    def test_a_file_that_is_no_trace_is_said_with_its_place(self):
        self.ask(201, "POST", f"{CASE}/files?name=traces/a.csv", torn().encode(), BYTES)
        entry = {"kind": "torque trace", "fastener": "phaser bolt", "file": "traces/a.csv",
                 "by": "A."}
        added = self.ask(201, "POST", f"{CASE}/entries", {"entry": entry}).json()["entry"]["id"]
        told = self.seen(added)
        self.assertEqual((told["answer"], told["take_out"]), ("not judged", False))
        self.assertIn("line 41", told["problem"])
        self.ask(404, "GET", f"{CASE}/traces/{added}/plot")

    def test_practice_has_it(self):
        self.ask(201, "POST", "/practice/api/cases", {"name": "mine", "drive": DRIVE})
        self.ask(200, "POST", "/practice/api/cases/mine/traces/read?fastener=phaser%20bolt",
                 trace().encode(), BYTES)


class Known(program.InFolder):
    def test_only_to_who_is_logged_in(self):
        with serving.SharedServer(self.folder / "shop.tautmark") as server:
            client = serving.Client(server, server.context())
            self.addCleanup(client.close)
            self.assertEqual(client.ask("GET", f"{CASE}/traces/e1").status, 401)
            self.assertEqual(client.ask("POST", f"{CASE}/traces/read?fastener=x", b"", BYTES).status,
                             401)


if __name__ == "__main__":
    unittest.main()
