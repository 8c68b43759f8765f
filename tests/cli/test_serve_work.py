# SPDX-License-Identifier: Apache-2.0
"""The work step by step over the API: where it stands, what blocks it, fasteners, parts."""

import json
import unittest

import program
import serving
from test_openapi import validator

DRIVE = "quellmere-i4-16"
IDENTIFY, PRESSURE = "Identify the engine and read its codes", "Measure the oil pressure"


def step_of(work, name):
    return next(step for step in work["procedure"]["steps"] if step["name"] == name)


class Work(program.InFolder):
    def setUp(self):
        super().setUp()
        self.server = self.enterContext(serving.Server(self.folder / "shop.tautmark"))
        self.client = serving.Client(self.server)
        self.addCleanup(self.client.close)

    def ask(self, status, method, target, body=None):
        answer = self.client.ask(method, target, body)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer.json()

    def new_case(self, name="bay3", before="", **fields):
        self.ask(201, "POST", f"{before}/api/cases", {"name": name, "drive": DRIVE, **fields})

    def add(self, kind, name="bay3", before="", **fields):
        return self.ask(201, "POST", f"{before}/api/cases/{name}/entries",
                        {"entry": {"kind": kind, "by": "A.", **fields}})

    def work(self, name="bay3", before=""):
        return self.ask(200, "GET", f"{before}/api/cases/{name}/work")

    def gates(self, name="bay3"):
        findings = self.ask(200, "GET", f"/api/cases/{name}/findings")
        return findings, [f for f in findings["findings"] if f["check"] == "procedure-gates"]

    def test_a_new_case_begins_with_the_first_step(self):
        self.new_case()
        work = self.work()
        self.assertEqual((work["schema"], work["drive"], work["why"]), ("work/1", DRIVE, None))
        procedure = work["procedure"]
        self.assertEqual(procedure["next"], [IDENTIFY])
        self.assertEqual((procedure["case"], procedure["open"], procedure["said"]),
                         ("bay3", [], []))
        self.assertIn("bank 1: chain as found", procedure["state"])
        self.assertIn("An invented engine, not for real work.", work["cautions"])

    def test_two_of_a_family_side_by_side_are_what_the_command_line_says(self):
        pair = ("vessgarth-v6-12", "vessgarth-v6-12-tall")
        told = self.ask(200, "GET", f"/api/drives/{pair[0]}/beside?with={pair[1]}")
        out = self.expect(0, "procedure", pair[0], "--beside", pair[1], "--drives",
                          program.ROOT / "drives", "--json", "-").stdout
        self.assertEqual(told, json.loads(out))
        whole = self.ask(200, "GET", f"/api/drives/{pair[0]}/beside?with={pair[1]}&all=true")
        self.assertEqual(len(whole["rows"]), len(told["rows"]) + told["same"])
        self.ask(404, "GET", f"/api/drives/{pair[0]}/beside?with=none")
        self.ask(400, "GET", f"/api/drives/{pair[0]}/beside")

    def authored(self, name, change=lambda text: text):
        text = change((program.ROOT / f"drives/{name}.drive.yaml").read_text())
        return self.ask(200, "POST", "/api/drives/author", {"name": name, "text": text})

    def test_an_author_is_told_step_by_step(self):
        told = self.authored("vessgarth-v6-12")
        self.assertEqual((told["schema"], told["is_readable"]), ("authored/1", True))
        self.assertEqual([f for f in told["findings"] if f["is_error"]], [])
        confirm = next(s for s in told["steps"] if s["name"] == "Confirm the marks")
        self.assertIn("bank 1: marks set", confirm["before"])
        self.assertIn("bank 1: marks confirmed", confirm["after"])
        self.assertIn("bank 2: phaser locked", confirm["by_rule"])
        self.assertIn("chain on", told["facts"])

    def test_a_mistake_stands_at_its_step(self):
        told = self.authored("vessgarth-v6-12", lambda text: text.replace(
            "steps: [{torque: 12 N·m}]", "steps: [{torque: 12 lbf·ft}]"))
        wrong = [f for f in told["findings"] if f["is_error"]]
        self.assertEqual([told["steps"][f["step"] - 1]["name"] for f in wrong],
                         ["Draw the caps down evenly"])
        unreadable = self.authored("vessgarth-v6-12", lambda text: text.replace(
            "steps: [{torque: 12 N·m}]", "steps: [{torque: 12 Nmm}]"))
        self.assertFalse(unreadable["is_readable"])
        self.assertGreater(unreadable["findings"][0]["line"], 0)

    def test_what_a_variant_takes_over_is_told_from_its_own(self):
        steps = {s["name"]: s for s in self.authored("vessgarth-v6-12-tall")["steps"]}
        self.assertTrue(steps["Take the oil deflector out"]["is_own"])
        self.assertFalse(steps["Hand over"]["is_own"])

    def test_is_what_the_command_line_says(self):
        work = self.ask(200, "GET", f"/api/drives/{DRIVE}/work")
        out = self.expect(0, "procedure", DRIVE, "--drives", program.ROOT / "drives",
                          "--json", "-").stdout
        self.assertEqual(work["procedure"], json.loads(out))
        out = self.expect(0, "tighten", DRIVE, "--drives", program.ROOT / "drives",
                          "--json", "-").stdout
        self.assertEqual(work["fasteners"], json.loads(out)["drives"][0]["fasteners"])

    def test_every_step_that_turns_carries_the_turning_answer(self):
        self.new_case()
        turning = self.ask(200, "GET", "/api/cases/bay3/findings")["turning"]
        self.assertEqual(turning["answer"], "DO NOT TURN")
        work = self.work()
        turns = [step for step in work["procedure"]["steps"] if "turns" in step]
        self.assertEqual([step["turns"] for step in turns], ["to reference", "two turns"])
        for step in turns:
            self.assertEqual(step["turning"],
                             {"answer": "DO NOT TURN", "because": turning["because"]})
            self.assertTrue(any(turning["because"] in m["why"] and not m["may_override"]
                                for m in step["missing"]), step)
            self.assertNotIn(step["name"], work["procedure"]["next"])
        for step in self.ask(200, "GET", f"/api/drives/{DRIVE}/work")["procedure"]["steps"]:
            self.assertEqual("turns" in step, "turning" in step)
            if "turning" in step:
                self.assertEqual(step["turning"]["answer"], "DO NOT TURN")

    def test_a_turn_that_is_allowed_carries_its_limits(self):
        self.new_case()
        self.add("state", apart="partly", turned="no", chain="on", pin="out", phaser="locked",
                 phaser_checked_how="does not move by hand, both ways", valves="followers out",
                 resistance=False, dropped=False)
        turning = self.ask(200, "GET", "/api/cases/bay3/findings")["turning"]
        self.assertTrue(turning["answer"].startswith("TURN ONLY "), turning)
        step = step_of(self.work(), "Turn to the reference")
        self.assertEqual(step["turning"]["answer"], turning["answer"])
        self.assertFalse(any("DO NOT TURN" in m["why"] for m in step["missing"]))
        # Whatever is entered next withdraws the state, and with it the leave to turn.
        self.add("step", step=IDENTIFY)
        step = step_of(self.work(), "Turn to the reference")
        self.assertEqual(step["turning"]["answer"], "DO NOT TURN")
        self.assertIn("DO NOT TURN", step["missing"][0]["why"])

    def test_a_step_with_all_that_may_be_said_of_it_is_kept(self):
        self.new_case()
        said = {"step": IDENTIFY, "second_name": "B.", "shown_by": [], "fasteners": 10,
                "late": True, "against_gate": "shop is closing", "allowed_by": "foreman"}
        entry = self.add("step", **said)["entry"]
        self.assertEqual({key: entry.get(key, []) for key in said}, said)
        self.assertEqual(step_of(self.work(), IDENTIFY)["status"], "done")
        kinds = self.client.document["components"]["schemas"]["new_entry"]["oneOf"]
        step = next(one for one in kinds if one["properties"]["kind"].get("const") == "step")
        self.assertLessEqual({*said, "interrupted"}, set(step["properties"]))

    def test_a_gate_that_nothing_shows_is_said_everywhere(self):
        self.new_case()
        self.add("step", step=IDENTIFY)
        self.assertEqual(self.gates()[1], [])
        entry = self.add("step", step=PRESSURE)["entry"]["id"]
        work = self.work()
        self.assertEqual(work["procedure"]["open"][0]["step"], PRESSURE)
        self.assertEqual(work["procedure"]["open"][0]["entry"], entry)
        self.assertEqual(step_of(work, PRESSURE)["status"], "done")
        self.assertTrue(step_of(work, PRESSURE)["gate_open"])
        findings, gates = self.gates()
        self.assertEqual([(g["subject"], g["verdict"], g["evidence"]) for g in gates],
                         [(PRESSURE, "open", [entry])])
        self.assertIn("work step by step: 1 open", findings["headline"][1])
        self.assertEqual(work["after_record"], findings["after_record"])
        reading = self.add("reading", quantity="tensioner extension",
                           place="timing chain / tensioner", values="4.1 mm")["entry"]["id"]
        self.add("step", step=PRESSURE, shown_by=[reading])
        self.assertEqual(self.work()["procedure"]["open"], [])
        self.assertEqual(self.gates()[1], [])

    def test_nothing_is_refused_and_nothing_is_taken_that_was_blocked(self):
        self.new_case()
        entry = self.add("step", step="Pull the pin")["entry"]["id"]
        self.add("step", step="Pul the pin")
        work = self.work()
        self.assertEqual(step_of(work, "Pull the pin")["status"], "entered while blocked")
        self.assertIn("did you mean \"Pull the pin\"?", " ".join(work["procedure"]["said"]))
        _, gates = self.gates()
        self.assertEqual([(g["subject"], g["evidence"]) for g in gates], [("Pull the pin", [entry])])
        self.assertIn("was entered while it was blocked", gates[0]["why"])

    def test_a_condition_passed_over_is_open_by_name_and_reason(self):
        self.new_case()
        entry = self.add("step", step="Pull the pin", against_gate="in a hurry",
                         allowed_by="foreman")["entry"]["id"]
        work = self.work()
        self.assertEqual(step_of(work, "Pull the pin")["status"], "done against its condition")
        _, gates = self.gates()
        self.assertEqual([g["why"] for g in gates],
                         [item["words"] for item in work["procedure"]["open"]])
        for gate in gates:
            self.assertEqual((gate["verdict"], gate["evidence"]), ("open", [entry]))
        overridden = [g for g in gates if g["subject"] != "Pull the pin"]
        self.assertTrue(overridden)
        for gate in overridden:
            self.assertIn("foreman allowed \"Pull the pin\" without", gate["why"])
            self.assertIn("in a hurry", gate["why"])
        self.assertEqual(len(gates), len(overridden) + 1)  # and its own gate, a photo

    def test_an_interrupted_step_is_said(self):
        self.new_case()
        self.add("step", step=IDENTIFY, interrupted=True)
        work = self.work()
        self.assertEqual(work["procedure"]["interrupted"]["step"], IDENTIFY)
        self.assertEqual(step_of(work, IDENTIFY)["status"], "interrupted")
        self.assertEqual(len(self.gates()[1]), 1)

    def test_the_wrenches_of_the_case_are_chosen_from(self):
        self.new_case(instruments=[{"name": "small", "range": "5..25 N·m"},
                                   {"name": "large", "range": "40..200 N·m"}])
        work = self.work()
        steps = [s for card in work["fasteners"] for s in card["steps"] if s["torque_Nm"] == 12]
        self.assertTrue(steps)
        for step in steps:
            self.assertTrue(step["wrench"].startswith("take small"), step)
            self.assertTrue(step["no_wrench"][0].startswith("large"), step)
        self.assertTrue(all(card["count"] is None or card["count"] > 0
                            for card in work["fasteners"]))

    def test_parts_are_those_of_the_definition(self):
        drive = self.ask(200, "GET", "/api/drives/vessgarth-v6-12")
        work = self.ask(200, "GET", "/api/drives/vessgarth-v6-12/work")
        self.assertTrue(work["parts"])
        self.assertEqual(work["parts"], drive["parts"])

    def test_why_there_is_no_procedure(self):
        self.new_case("none", drive="thin")
        work = self.work("none")
        self.assertIsNone(work["procedure"])
        self.assertIn("has no procedure", work["why"])
        self.assertIn("The definition was checked by nobody.", work["cautions"])
        self.ask(201, "POST", "/api/cases", {
            "name": "two", "candidates": ["vessgarth-v6-12", "vessgarth-v6-12-tall"]})
        work = self.work("two")
        self.assertEqual((work["procedure"], work["drive"], work["fasteners"], work["parts"]),
                         (None, None, [], []))
        self.assertIn("identify the engine first", work["why"])
        self.add("identification", "two", variant="vessgarth-v6-12-tall")
        self.assertEqual(self.work("two")["drive"], "vessgarth-v6-12-tall")

    def test_practice_has_it_and_what_is_not_there_is_not(self):
        self.new_case(before="/practice", name="mine")
        self.add("step", "mine", "/practice", step=IDENTIFY)
        self.assertEqual(self.work("mine", "/practice")["procedure"]["last_done"], IDENTIFY)
        self.ask(200, "GET", f"/practice/api/drives/{DRIVE}/work")
        self.ask(404, "GET", "/api/cases/mine/work")
        self.ask(404, "GET", "/api/drives/nowhere/work")

    def test_the_schema_asks_for_what_matters(self):
        self.new_case()
        work = self.work()
        self.assertTrue(validator("work").is_valid(work))
        for break_it in (lambda w: w.pop("why"), lambda w: w["procedure"].pop("turning"),
                         lambda w: w["fasteners"][0].pop("asks"),
                         lambda w: step_of(w, "Turn to the reference").pop("turning"),
                         lambda w: step_of(w, IDENTIFY).update(status="perhaps"),
                         lambda w: w["procedure"]["turning"].update(answer="TURN")):
            copy = json.loads(json.dumps(work))
            break_it(copy)
            self.assertFalse(validator("work").is_valid(copy))
        known = self.client.document["components"]["schemas"]
        self.assertEqual(set(work) - set(known["work"]["properties"]), set())
        self.assertEqual(set(work["procedure"]) - set(known["procedure"]["properties"]), set())
        for step in work["procedure"]["steps"]:
            self.assertEqual(set(step) - set(known["work_step"]["properties"]), set())
        for card in work["fasteners"]:
            self.assertEqual(set(card) - set(known["fastener_card"]["properties"]), set())


class Known(program.InFolder):
    def test_only_to_who_is_logged_in(self):
        with serving.SharedServer(self.folder / "shop.tautmark") as server:
            client = serving.Client(server, server.context())
            self.addCleanup(client.close)
            self.assertEqual(client.ask("GET", f"/api/drives/{DRIVE}/work").status, 401)
            self.assertEqual(client.ask("GET", "/api/cases/any/work").status, 401)


if __name__ == "__main__":
    unittest.main()
