# SPDX-License-Identifier: Apache-2.0
"""What the page stands on: quick answers, the practice store, definitions that are edited."""

import contextlib
import hashlib
import json
import os
import pathlib
import re
import threading
import unittest
import urllib.parse
import xml.dom.minidom

import program
import serving

SHOWN = program.ROOT / "drives"  # the definitions that come with the program


class Local(program.InFolder):
    def setUp(self):
        super().setUp()
        self.drives = self.folder / "shop-drives"
        self.drives.mkdir()
        self.server = self.enterContext(
            serving.Server(self.folder / "shop.store", drives=[self.drives]))
        self.client = serving.Client(self.server)
        self.addCleanup(self.client.close)

    def ask(self, status, method, target, body=None, headers=None, client=None):
        answer = (client or self.client).ask(method, target, body, headers)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer

    def quick(self, question, status=200, **typed):
        said = [{"input": name, "text": text} for name, text in typed.items()]
        return self.ask(status, "POST", f"/api/quick/{question}", {"typed": said}).json()


class Quick(Local):
    def test_every_question_is_listed_and_asks_for_what_is_required(self):
        listed = self.ask(200, "GET", "/api/quick").json()["questions"]
        self.assertGreater(len(listed), 10)
        for question in listed:
            with self.subTest(question["name"]):
                self.assertTrue(question["inputs"])
                required = [i["name"] for i in question["inputs"] if i["is_required"]]
                told = self.quick(question["name"])
                if required:
                    self.assertEqual(told["ask"]["input"], required[0])
                examples = {i["name"]: i["example"] for i in question["inputs"] if i["is_required"]}
                self.assertTrue(self.quick(question["name"], **examples))

    def test_an_answer_is_that_of_the_command_line(self):
        told = self.quick("convert", value="0.110 mm")["answer"]
        said = json.loads(program.run("quick", "convert", "value=0.110 mm", "--json", "-").stdout)
        for key in ("question", "lines", "steps", "assumed", "cautions"):
            self.assertEqual(told[key], said[key])
        self.assertEqual(told["asked"], [{"input": "value", "text": "0.110 mm"}])
        self.assertNotIn("verdict", told)
        self.assertNotIn("finding", told)

    def test_a_verdict_comes_with_its_finding(self):
        told = self.quick("clearance", bore="28.072 mm", journal="27.962 mm", instrument="bore gauge",
                          journal_instrument="micrometer 0.001", limit="at most 0.100 mm", origin="maker", source="manual, page 4")
        self.assertIn("answer", told, told)
        told = told["answer"]
        self.assertEqual(told["finding"]["verdict"], told["verdict"])
        self.assertNotEqual(told["verdict"], "pass")

    def test_what_cannot_be_asked_is_said(self):
        wrong = self.quick("nonsense", 404)
        self.assertIn("clearance", wrong["detail"])
        self.assertEqual(self.quick("convert", wide="1 mm")["ask"]["input"], "wide")
        twice = [{"input": "value", "text": "1 mm"}] * 2
        self.ask(422, "POST", "/api/quick/convert", {"typed": twice})
        self.ask(422, "POST", "/api/quick/convert", {"value": "1 mm"})
        long = [{"input": "value", "text": "1" * 70_000}]
        self.ask(413, "POST", "/api/quick/convert", {"typed": long})


class PracticeStore(Local):
    def names(self, prefix=""):
        return sorted(c["name"] for c in self.ask(200, "GET", f"{prefix}/api/cases").json()["cases"])

    def test_while_it_is_unpacked_nobody_waits_with_a_thread_in_hand(self):
        answers = []

        def practice():
            with contextlib.closing(serving.Client(self.server)) as client:
                answers.append(client.ask("GET", "/practice/api/cases"))

        threads = [threading.Thread(target=practice) for _ in range(8)]
        for thread in threads:
            thread.start()
        self.ask(200, "GET", "/api/status")
        for thread in threads:
            thread.join()
        self.assertIn(200, [answer.status for answer in answers])
        for answer in answers:
            self.assertIn(answer.status, (200, 503))
            if answer.status == 503:
                self.assertIn("being unpacked", answer.json()["detail"])
                self.assertTrue(answer.headers["Retry-After"])
        self.assertTrue(self.names("/practice"))

    def test_it_holds_the_demonstration_and_nothing_of_it_is_in_the_shop(self):
        names = self.names("/practice")
        self.assertEqual(len(names), len(list((program.ROOT / "demo").glob("*/case.yaml"))))
        self.assertEqual(self.names(), [])
        for name in names:
            path = f"/practice/api/cases/{urllib.parse.quote(name, safe='')}"
            found = self.ask(200, "GET", f"{path}/findings").json()
            self.assertTrue(found["findings"])
            self.assertTrue(found["invented"])
            self.assertIn("<svg", self.ask(200, "GET", f"{path}/drawing").bytes.decode())
            self.assertTrue(self.ask(200, "GET", f"{path}/files").json()["files"])
            self.ask(404, "GET", path.removeprefix("/practice"))
        self.assertEqual(self.ask(200, "GET", "/practice/api/status").json()["cases"], len(names))
        self.assertEqual(self.ask(200, "GET", "/api/status").json()["cases"], 0)

    def test_what_is_practiced_stays_there_and_goes_with_a_reset(self):
        before = self.names("/practice")
        made = {"name": "try", "drive": "vessgarth-v6-12"}
        self.ask(201, "POST", "/practice/api/cases", made)
        self.ask(201, "POST", "/practice/api/cases/try/entries",
                 {"entry": {"kind": "note", "words": "practice"}})
        self.ask(200, "PUT", "/practice/api/cases/try/keep",
                 {"until": "2999-01-01", "reason": "law"})
        self.ask(201, "POST", "/api/cases", {**made, "name": "real"})
        self.assertEqual(self.names("/practice"), sorted([*before, "try"]))
        self.assertEqual(self.names(), ["real"])
        self.ask(204, "POST", "/practice/api/reset", b"", {"Content-Type": "application/json"})
        self.assertEqual(self.names("/practice"), before)
        self.assertEqual(self.names(), ["real"])
        self.ask(404, "POST", "/api/reset", b"", {"Content-Type": "application/json"})
        self.ask(200, "GET", f"/practice/api/cases/{before[0]}/findings")

    def test_definitions_saved_there_do_not_reach_the_shop(self):
        text = self.ask(200, "GET", "/practice/api/drives/thin/text").bytes.decode()
        changed = {"text": text + "note: practice\n", "replaces": hashed(text)}
        self.ask(200, "PUT", "/practice/api/drives/thin", changed)
        self.assertIn("note: practice", self.ask(200, "GET", "/practice/api/drives/thin/text")
                      .bytes.decode())
        self.assertNotIn("note: practice", self.ask(200, "GET", "/api/drives/thin/text")
                         .bytes.decode())
        self.ask(204, "POST", "/practice/api/reset", b"", {"Content-Type": "application/json"})
        self.assertEqual(self.ask(200, "GET", "/practice/api/drives/thin/text").bytes.decode(), text)
        self.assertEqual(list(self.drives.iterdir()), [])

    def test_a_definition_of_the_shop_alone_is_not_written_over_from_there(self):
        kept = self.drives / "small.drive.yaml"
        kept.write_text(program.DRIVE)
        changed = program.DRIVE + "note: practice\n"
        self.ask(200, "PUT", "/practice/api/drives/small",
                 {"text": changed, "replaces": hashed(program.DRIVE)})
        self.assertEqual(self.ask(200, "GET", "/practice/api/drives/small/text").bytes.decode(),
                         changed)
        self.assertEqual(list(self.drives.iterdir()), [kept])
        self.assertEqual(kept.read_text(), program.DRIVE)

    def test_each_store_tells_of_its_own_changes(self):
        heard = {"": [], "/practice": []}

        def listen(prefix):
            line = serving.Client(self.server).connect()
            line.request("GET", f"{prefix}/api/events")
            stream = line.getresponse()
            opened.release()
            while len(heard[prefix]) < 1:
                text = stream.readline().decode()
                if text.startswith("data:"):
                    heard[prefix].append(json.loads(text[5:])["case"])
            line.close()

        self.names("/practice")
        opened = threading.Semaphore(0)
        threads = [threading.Thread(target=listen, args=(prefix,)) for prefix in heard]
        for thread in threads:
            thread.start()
        for _ in threads:
            opened.acquire()
        made = {"drive": "vessgarth-v6-12"}
        self.ask(201, "POST", "/practice/api/cases", {**made, "name": "try"})
        self.ask(201, "POST", "/api/cases", {**made, "name": "real"})
        for thread in threads:
            thread.join(20)
        self.assertEqual(heard, {"": ["real"], "/practice": ["try"]})

    def test_it_is_gone_with_the_server(self):
        self.names("/practice")
        scratch = self.server.scratch.name
        self.assertTrue([f for _, _, files in os.walk(scratch) for f in files])
        self.server.process.terminate()
        self.server.process.wait(20)
        self.assertEqual([f for _, _, files in os.walk(scratch) for f in files], [])


def hashed(text):
    return hashlib.sha256(text.encode()).hexdigest()


class Definitions(Local):
    def test_a_text_is_checked_while_it_is_typed(self):
        good = self.ask(200, "POST", "/api/drives/check",
                        {"text": (SHOWN / "vessgarth-v6-12.drive.yaml").read_text(),
                         "name": "vessgarth-v6-12"}).json()
        self.assertEqual(good["mistakes"], [])
        self.assertEqual(good["check"],
                         self.ask(200, "GET", "/api/drives/vessgarth-v6-12/check").json())
        self.assertIn("<svg", good["drawing"])
        self.assertEqual(good["drawing"], self.ask(
            200, "GET", "/api/drives/vessgarth-v6-12/drawing").bytes.decode())
        bad = self.ask(200, "POST", "/api/drives/check",
                       {"text": "tautmark: drive/1\nname: x\nchains:\n  - {name: c, pitch: 8}\n"})
        bad = bad.json()
        self.assertNotIn("check", bad)
        self.assertEqual((bad["mistakes"][0]["line"], bad["mistakes"][0]["file"]),
                         (4, "definition.drive.yaml"))
        self.assertGreater(bad["mistakes"][0]["column"], 1)
        as_json = self.ask(200, "GET", "/api/drives/thin").bytes.decode()
        self.assertEqual(self.ask(200, "POST", "/api/drives/check", {"text": as_json})
                         .json()["mistakes"], [])

    def save(self, status, name, text, replaces=None):
        body = {"text": text, **({"replaces": replaces} if replaces else {})}
        return self.ask(status, "PUT", f"/api/drives/{name}", body).json()

    def test_a_definition_is_saved_and_nothing_is_overwritten_unseen(self):
        text = program.DRIVE
        saved = self.save(201, "small", text)
        self.assertEqual((saved["file"], saved["sha256"]), ("small.drive.yaml", hashed(text)))
        told = self.ask(200, "GET", "/api/drives/small/text")
        self.assertEqual((told.bytes.decode(), told.type), (text, "text/plain"))
        self.assertEqual(told.headers["ETag"], f'"{hashed(text)}"')
        newer = text + "note: worn tensioner seen\n"
        self.save(409, "small", newer)
        self.save(409, "small", newer, hashed("other"))
        self.assertEqual((self.drives / "small.drive.yaml").read_text(), text)
        saved = self.save(200, "small", newer, hashed(text))
        self.assertRegex(saved["kept"], r"^small\.drive\.\d{4}-\d\d-\d\d-\d{6}\.yaml$")
        self.assertEqual((self.drives / saved["kept"]).read_text(), text)
        self.assertEqual((self.drives / "small.drive.yaml").read_text(), newer)
        names = [d["name"] for d in self.ask(200, "GET", "/api/drives").json()["drives"]]
        self.assertEqual(names.count("small"), 1)
        self.assertFalse([n for n in names if n.startswith("small.")])
        as_json = self.ask(200, "GET", "/api/drives/small").bytes.decode()
        saved = self.save(200, "small", as_json, hashed(newer))
        self.assertEqual(saved["file"], "small.drive.json")
        self.assertFalse((self.drives / "small.drive.yaml").exists())
        self.assertEqual((self.drives / saved["kept"]).read_text(), newer)
        self.assertEqual(len(list(self.drives.iterdir())), 3)
        acts = [a["what"] for a in self.ask(200, "GET", "/api/audit").json()["entries"]]
        self.assertEqual(acts.count("drive saved"), 3)

    def test_what_cannot_be_read_is_not_saved(self):
        wrong = self.save(422, "small", program.DRIVE.replace("8.00 mm", "8.00"))
        self.assertEqual(wrong["mistakes"][0]["line"], 5)
        self.assertIn("small", self.save(422, "other", program.DRIVE)["detail"])
        self.save(422, "..x", program.DRIVE)
        self.save(409, "small", program.DRIVE, hashed("gone"))
        self.assertEqual(list(self.drives.iterdir()), [])

    def test_two_definitions_are_compared(self):
        told = self.ask(200, "GET", "/api/drives/vessgarth-v6-12/compare?with=vessgarth-v6-12-tall")
        told = told.json()["differences"]
        biting = [d for d in told if "where_it_bites" in d]
        self.assertTrue(biting)
        self.assertEqual(told[:len(biting)], biting)
        said = program.run("drive", "compare", "vessgarth-v6-12", "vessgarth-v6-12-tall",
                           "--drives", SHOWN).stdout
        for one in biting:
            self.assertIn(one["field"], said)
        self.assertEqual(int(re.search(r"(\d+) fields differ", said)[1]), len(told) - len(biting))
        self.ask(400, "GET", "/api/drives/thin/compare")
        self.ask(404, "GET", "/api/drives/thin/compare?with=none")

    def test_the_data_sheet_is_printed(self):
        page = self.ask(200, "GET", "/api/drives/vessgarth-v6-12/sheet")
        self.assertEqual(page.type, "text/html")
        text = page.bytes.decode()
        self.assertIn("INVENTED ENGINE", text)
        said = program.run("drive", "show", "vessgarth-v6-12", "--drives", SHOWN).stdout
        for title in ("Chains", "Camshafts", "Limits", "Fasteners", "Parts"):
            self.assertIn(f"\n{title}\n", said)
            self.assertIn(title, text)
        xml.dom.minidom.parseString(text.replace("<!DOCTYPE html>\n", ""))


class WhenShared(program.InFolder):
    """The same accounts for both stores; quick answers for everybody."""

    def setUp(self):
        super().setUp()
        self.server = self.enterContext(serving.SharedServer(self.folder / "shop.store"))
        self.context = self.server.context()
        self.anna = self.client()
        self.ask(200, self.anna, "POST", "/api/login",
                 {"name": self.server.MANAGER, "password": self.server.PASSWORD})

    def client(self):
        client = serving.Client(self.server, self.context)
        self.addCleanup(client.close)
        return client

    def ask(self, status, client, method, target, body=None):
        headers = {} if method == "GET" else {"Content-Type": "application/json"}
        answer = client.ask(method, target, body if body is not None or method == "GET" else b"",
                            headers)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer

    def test_quick_answers_need_no_log_in_and_practice_does(self):
        stranger = self.client()
        self.ask(200, stranger, "GET", "/api/quick")
        told = self.ask(200, stranger, "POST", "/api/quick/convert",
                        {"typed": [{"input": "value", "text": "1 in"}]}).json()
        self.assertIn("1000 thou", " ".join(told["answer"]["lines"]))
        for method, path in (("GET", "cases"), ("GET", "events"), ("GET", "drives"),
                             ("POST", "reset")):
            self.ask(401, stranger, method, f"/practice/api/{path}")
        self.ask(200, stranger, "GET", "/practice/api/status")
        self.ask(200, stranger, "GET", "/practice/api/quick")
        self.assertEqual(self.practice_stores(), 0)
        self.ask(200, self.anna, "GET", "/practice/api/cases")
        self.assertEqual(self.practice_stores(), 1)

    def practice_stores(self):
        return len(list(pathlib.Path(self.server.scratch.name).rglob("*-practice.store")))

    def test_people_practice_with_their_own_roles(self):
        for name, role in (("Rita", "read"), ("Will", "write")):
            self.ask(201, self.anna, "POST", "/practice/api/accounts",
                     {"name": name, "role": role, "password": "ring spanner ten"})
        rita, will = self.client(), self.client()
        for client, name in ((rita, "Rita"), (will, "Will")):
            self.ask(200, client, "POST", "/practice/api/login",
                     {"name": name, "password": "ring spanner ten"})
            self.assertEqual(self.ask(200, client, "GET", "/practice/api/me").json()["name"], name)
            self.assertTrue(self.ask(200, client, "GET", "/practice/api/cases").json()["cases"])
        made = {"name": "try", "drive": "vessgarth-v6-12"}
        self.ask(403, rita, "POST", "/practice/api/cases", made)
        self.ask(403, rita, "POST", "/practice/api/reset")
        self.ask(201, will, "POST", "/practice/api/cases", made)
        self.ask(204, will, "POST", "/practice/api/reset")
        self.assertEqual(self.ask(200, will, "GET", "/api/cases").json()["cases"], [])
        self.ask(204, will, "POST", "/practice/api/logout")
        self.ask(401, will, "GET", "/api/cases")
