# SPDX-License-Identifier: Apache-2.0
"""A stored case stays whole: two seats at once, odd files, and mistakes that were there before."""

import threading
import unittest

import program
import serving


class Stories:
    """Runs on both databases; see below."""

    def setUp(self):
        super().setUp()
        # Beside the drives that every server of the tests has: one that can go away.
        self.drives = self.folder / "drives"
        self.drives.mkdir()
        text = (program.ROOT / "drives" / "vessgarth-v6-12.drive.yaml").read_text()
        self.own = self.drives / "ownmade.drive.yaml"
        self.own.write_text(text.replace("name: vessgarth-v6-12\n", "name: ownmade\n"))
        self.server = self.enterContext(
            serving.Server(self.store(), "--drives", str(self.drives)))
        self.client = serving.Client(self.server)
        self.ask(201, "POST", "/api/cases", {"name": "a"})
        self.add(201, {"kind": "note", "words": "one"})

    def ask(self, status, method, target, body=None, headers=None):
        answer = self.client.ask(method, target, body, headers)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer

    def put(self, status, name, data):
        return self.ask(status, "POST", f"/api/cases/a/files?name={name}", data,
                        {"Content-Type": "application/octet-stream"})

    def add(self, status, entry):
        return self.ask(status, "POST", "/api/cases/a/entries", {"entry": entry})

    def at_once(self, *acts):
        answers = []

        def run(act):
            answers.append(serving.Client(self.server).ask(*act).status)

        seats = [threading.Thread(target=run, args=(act,)) for act in acts]
        for seat in seats:
            seat.start()
        for seat in seats:
            seat.join()
        return sorted(answers)

    def holds_together(self):
        for way in ("", "/findings", "/pack", "/files", "/records"):
            self.ask(200, "GET", f"/api/cases/a{way}")

    def test_two_corrections_of_one_entry(self):
        correction = ("POST", "/api/cases/a/entries",
                      {"entry": {"kind": "note", "words": "two", "replaces": "e1"}})
        self.assertEqual(self.at_once(*[correction] * 6), [201] + [422] * 5)
        self.holds_together()

    def test_a_head_and_a_reading_that_do_not_fit_together(self):
        reading = {"kind": "reading", "quantity": "journal diameter",
                   "place": "bank 1 / intake camshaft / journal 1", "values": "27.957 27.958 mm"}
        self.at_once(("POST", "/api/cases/a/head", {"decimal_sign": "comma"}),
                     ("POST", "/api/cases/a/entries", {"entry": reading}))
        self.holds_together()

    def test_names_that_no_pack_can_hold(self):
        for name in ("case.yaml", "CASE.YAML", "case.yaml/x", "record.jsonl/x", "manifest.json",
                     ".hidden", ".x/y", "...", "n" * 255, "/".join("d" * 60), "gpj%E2%80%AEexe",
                     "x.DRIVE.yaml"):
            answer = self.put(422, name, b"bytes")
            self.assertTrue(answer.json()["detail"])
        self.put(201, "runs/idle.csv", b"bytes")
        for name in ("runs", "RUNS/other.csv", "runs/IDLE.csv", "runs/idle.csv/x"):
            self.put(422, name, b"other")
        self.holds_together()

    def test_a_drive_file_is_read_before_it_is_one(self):
        self.put(422, "ownmade.drive.yaml", b"junk")
        self.put(201, "ownmade.drive.yaml", self.own.read_bytes())
        self.holds_together()

    def test_a_drive_that_is_gone_stops_no_note(self):
        self.ask(201, "POST", "/api/cases", {"name": "b", "drive": "ownmade"})
        self.own.unlink()
        self.ask(201, "POST", "/api/cases/b/entries",
                 {"entry": {"kind": "note", "words": "still noted"}})
        view = self.ask(200, "GET", "/api/cases/b").json()
        self.assertEqual([e["words"] for e in view["case"]["entries"]], ["still noted"])
        self.assertIn("ownmade", view["mistakes"][0]["message"])
        self.ask(422, "GET", "/api/cases/b/findings")
        for way in ("/pack", "/files", "/records"):
            self.ask(200, "GET", f"/api/cases/b{way}")
        # What is wrong with the entry itself is refused as ever.
        self.ask(422, "POST", "/api/cases/b/entries",
                 {"entry": {"kind": "note", "words": "x", "replaces": "e9"}})


class OnTheEmbeddedStore(Stories, program.InFolder):
    """In a file."""

    def store(self):
        return self.folder / "shop.store"


class OnPostgres(Stories, serving.OnPostgres):
    """On a server."""

    def store(self):
        return self.new_database()


if __name__ == "__main__":
    unittest.main()
