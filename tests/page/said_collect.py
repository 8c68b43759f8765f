# SPDX-License-Identifier: Apache-2.0
"""What the program says, for the German catalogue of the page: asks a running program and writes
web/tests/said.json, every sentence once (those that differ in their numbers only, once together).

    TAUTMARK_PROGRAM=build/dev/tautmark python3 tests/page/said_collect.py

What persons typed (remarks, decisions, sources of limits) is left out: it is never translated.
"""

import json
import math
import pathlib
import re
import sys
import tempfile
import urllib.error
import urllib.parse
import urllib.request

ROOT = pathlib.Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "cli"))
from serving import Server  # noqa: E402
from test_quick import ANSWERED  # noqa: E402
from test_quick_turn import INTACT  # noqa: E402
from torque_traces import torn, trace  # noqa: E402

# More of what is asked on the phone, to see the other branches of each answer.
MORE = {
    "clearance": [
        {"clearance": "0.060 ± 0.005 mm", "limit": "at most 0.110 mm"},
        {"clearance": "0.060 ± 0.005 mm", "limit": "at most 0.110 mm", "origin": "maker"},
        {"clearance": "0.060 ± 0.005 mm", "limit": "0.04 to 0.110 mm", "origin": "shop"},
        {"clearance": "0.060 ± 0.005 mm", "limit": "at most 0.110 mm", "origin": "common practice"},
        {"clearance": "0.109 ± 0.005 mm", "limit": "at most 0.110 mm", "origin": "maker",
         "source": "service manual, p. 4"},
        {"clearance": "0.9 mm"}, {"clearance": "0.1"}, {"clearance": "0.100 mm"},
        {"clearance": "0.060 ± 0.005 mm", "limit": "0.110 mm"},
        {"clearance": "0.060 ± 0.005 mm", "bore": "28.072 mm"},
        {"bore": "28.072 ± 0.003 mm"}, {"bore": "28.072 mm", "journal": "27.964 mm"},
        {"bore": "27.9 ± 0.003 mm", "journal": "27.964 ± 0.004 mm"},
        {"bore": "28.072 ± 0.003 mm", "journal": "24 ± 0.004 mm"},
        {"bore": "2.8 ± 0.003 mm", "journal": "2.7 ± 0.004 mm"},
        {"bore": "28.072 mm", "journal": "27.964 mm", "instrument": "unknown", "journal_instrument": "unknown"},
        {"bore": "28.072 mm", "journal": "27.964 mm", "instrument": "ruler"},
        {"bore": "28.072 28.075 mm", "journal": "27.964 27.966 mm", "instrument": "bore gauge",
         "journal_instrument": "micrometer", "limit": "at most 0.110 mm"},
        {"clearance": "0.110 ± 0.005 mm", "limit": "at most 0.110 mm", "origin": "program default"},
    ],
    "convert": [{"value": v} for v in ("106", "28 N·m", "28 lbf·ft", "0.35 mm", "14 thou", "1.5 bar", "30 psi",
                                       "400 kPa", "3 s", "0.011 in", "20 kgf·m", "160 ozf·in", "16 lbf·ft")],
    "adapter": [
        {"wanted": "28 N·m", "wrench": "350 mm", "adapter": "40 mm", "angle": a}
        for a in ("90 deg", "straight", "folded back", "45 deg", "200 deg", "perhaps")
    ] + [{"wanted": "28 N·m"}, {"wanted": "28"}, {"wanted": "0 N·m", "wrench": "350 mm", "adapter": "40 mm", "angle": "straight"},
         {"wanted": "28 N·m", "wrench": "3500 m"}, {"wanted": "20 lbf·ft", "wrench": "350 mm", "adapter": "350 mm", "angle": "folded back"},
         {"wanted": "240 lbf·in", "wrench": "12 in", "adapter": "2 in", "angle": "30 deg"}],
    "chain": [
        {"length": "320.90 ± 0.05 mm", "links": "40", "pitch": "8.00 mm", "limit": l}
        for l in ("0.35 %", "at most 0.20 %", "0.28 %", "321.1 mm", "8 mm", "at least 0.1 %")
    ] + [{"length": "319.00 ± 0.05 mm", "links": "40", "pitch": "8.00 mm"},
         {"length": "319.00 ± 0.05 mm", "links": "40", "pitch": "8.00 mm", "limit": "0.35 %"},
         {"length": "320.01 ± 0.05 mm", "links": "40", "pitch": "8.00 mm", "limit": "0.35 %"},
         {"length": "330.00 ± 0.05 mm", "links": "40", "pitch": "8.00 mm", "limit": "0.35 %"},
         {"length": "320.88 320.92 320.90 mm", "links": "41", "pitch": "8.00 mm", "instrument": "caliper"},
         {"length": "320.88 320.92 320.90 mm", "links": "40", "pitch": "8.00 mm", "limit": "0.35 %", "instrument": "caliper", "origin": "maker", "source": "manual"},
         {"length": "320.90 mm"}, {"length": "320.90 mm", "links": "40"}, {"length": "320.90 mm", "links": "forty"},
         {"length": "320.90 mm", "links": "40", "pitch": "8.00 mm", "limit": "0.35 %"}],
    "teeth": [
        {"angle": a, "teeth": "38"}
        for a in ("18.9 deg crank late", "18.9 deg crank early", "2.0 deg crank late", "2.0 deg crank early",
                  "9.5 deg cam late", "0 deg crank late", "28 deg crank late", "21.4 deg late", "21.4 deg crank", "-21.4 deg crank",
                  "37.9 deg crank late", "17 deg crank late", "23 deg crank early", "400 deg crank late", "730 deg crank late", "21.4 mm")
    ] + [{"angle": "21.4 deg crank late", "teeth": "19"}, {"angle": "21.4 deg crank late", "teeth": "19 crank"}, {"angle": "21.4 deg crank late"},
         {"angle": "21.4 deg crank late", "teeth": "38", "direction": "early"}, {"angle": "21.4 deg crank late", "teeth": "2"}],
    "links": [
        {"counts": "61 60 17", "counted": "pitches", "links": "138", **more}
        for more in ({}, {"expected": "61 61 16", "expected_counted": "pitches"},
                     {"expected": "61 61 16", "expected_counted": "pitches", "order": "running"},
                     {"expected": "61 61 16", "expected_counted": "pitches", "order": "against"},
                     {"expected": "61 60 17", "expected_counted": "pitches", "origin": "maker"},
                     {"expected": "61 60 17", "expected_counted": "pitches"},
                     {"expected": "61 60 17", "expected_counted": "pitches", "origin": "maker", "source": "manual p. 3"},
                     {"expected": "62 58 18", "expected_counted": "pitches", "origin": "maker", "source": "manual p. 3"})
    ] + [{"counts": "61 60 17", "counted": "both marks", "links": "138"}, {"counts": "61 60 17", "counted": "pitches", "links": "140"},
         {"counts": "60 59 16", "counted": "between", "links": "138"}, {"counts": "61 60 18", "counted": "pitches", "links": "138"},
         {"counts": "61 60 17"}, {"counts": "61 a"}, {"counts": "61 60 17", "counted": "pitches"}, {"counts": "6 6", "counted": "pitches", "links": "4"},
         {"counts": "61 77", "counted": "pitches", "links": "138", "expected": "60 78", "expected_counted": "pitches", "order": "running"}],
    "torque": [{"torque": t, "thread": th, **more}
               for t in ("12 N·m", "106 lbf·in", "106 lbf·ft", "0.5 N·m", "50 N·m", "140 N·m")
               for th, more in (("M6", {}), ("M10x1.5", {"class": "10.9", "condition": "oiled"}),
                                ("M10x1.5", {"class": "8.8", "condition": "dry", "angle": "yes"}),
                                ("3/8-16", {"wrench": "40..200 N·m"}), ("M8", {"wrench": "5..25 N·m"}), ("M8", {"wrench": "10..60 N·m"}))] +
              [{"torque": "106"}, {"torque": "106", "thread": "M6"}, {"torque": "106 lb", "thread": "M6"}, {"torque": "0 N·m", "thread": "M6"},
               {"torque": "12 N·m", "thread": "big"}, {"torque": "12 N·m", "thread": "M100"}, {"torque": "12 N·m", "thread": "M6", "class": "7.3"},
               {"torque": "12 N·m", "thread": "M6", "wrench": "at least 5 N·m"}, {"torque": "12 N·m", "thread": "M6", "wrench": "small"}],
    "bolt": [{"single_use": u, "angle": a, **more} for u in ("yes", "no", "unknown") for a in ("yes", "no", "unknown")
             for more in ({}, {"longest": "60.5 mm"}, {"longest": "60.5 mm", "length": "60.13 ± 0.02 mm"}, {"longest": "60.5 mm", "length": "60.6 ± 0.02 mm"},
                          {"longest": "60.5 mm", "length": "60.49 ± 0.02 mm"}, {"longest": "60.5 mm", "length": "60.13 mm"})],
    "pin": [{"pulled": p, **dict(zip(("chain", "slack", "marks", "bolts", "guides"), done))} for p in ("yes", "no", "unknown")
            for done in (["yes"] * 5, ["no"] * 5, ["unknown"] * 5, ["yes", "yes", "yes", "unknown", "yes"])],
    "tensioner": [{"hand": h, "engine": e, "known_by": k} for h in ("1", "2", "unknown") for e in ("1", "2", "unknown")
                  for k in ("part number", "it bolts on", "looks", "unknown")],
    "returns": [{"links": "124", "crank": "21", "cam": "42"}, {"links": "138", "crank": "19", "cam": "38"}, {"links": "124"},
                {"links": "124", "crank": "42", "cam": "21"}, {"links": "2", "crank": "21", "cam": "42"}, {"links": "124", "crank": "21", "cam": "40"},
                {"links": "126", "crank": "21", "cam": "42"}],
    "dead-center": [{"before": "24.5 deg crank", "after": "22.1 deg crank"}, {"before": "24.5 deg crank", "after": "24.5 deg crank"},
                    {"before": "24.5"}, {"before": "24.5 deg crank"}, {"before": "24.5 deg crank", "after": "22.1 deg crank", "resolution": "1 deg crank"},
                    {"before": "12 deg cam", "after": "13 deg cam", "wheel": "cam"}, {"before": "170 deg crank", "after": "10 deg crank"},
                    {"before": "22.1 deg crank", "after": "24.5 deg crank", "resolution": "0.5 deg crank"}],
    "marks": [
        {"stands": s, "against": a, **more}
        for s in ("half a tooth left", "one tooth right", "right", "cannot see it", "two teeth early", "a tooth late", "opposite", "30 degrees left", "half a tooth late", "banana")
        for a in ("casting", "link")
        for more in ({}, {"seen_from": "front", "rotation": "clockwise", "place": "12 o'clock", "teeth": "38", "turned": "yes"},
                     {"seen_from": "flywheel end", "rotation": "counterclockwise", "place": "3 o'clock", "teeth": "38", "turned": "no"})
    ],
    "life": [{"readings": r, "doubt": "± 0.02 %", "limit": "0.35 %"}
             for r in ("60000 km 0.10 %; 120000 km 0.20 %", "60000 km 0.30 %; 120000 km 0.40 %", "60000 km 0.10 %; 120000 km 0.10 %",
                       "60000 km 0.10 %; 120000 km 0.11 %", "1000 h 0.1 %; 2000 h 0.2 %", "60000 km 0.10 %", "km 0.10 %", "60000 km 0.10 %; 100 h 0.2 %",
                       "60000 km 0.20 %; 120000 km 0.10 %", "60000 km 0.10 %; 120000 km 3 mm")] +
            [{"readings": "60000 km 4 mm; 120000 km 6 mm", "doubt": "± 0.5 mm", "limit": "15 mm"}, {"readings": "60000 km 0.10 %; 120000 km 0.20 %"}],
    "phase": [
        {"cam": "bank 1 intake", "phaser": p, "off": o, "cam_teeth": "38", **more}
        for p in ("base", "commanded", "none", "unknown")
        for o, more in (("21.4 deg crank late", {"other": "1.8 deg crank late", "other_on": "same chain"}),
                        ("18.9 deg crank early", {"other": "18.9 deg crank early", "other_on": "same chain"}),
                        ("2.4 deg crank late", {"other": "1.8 deg crank late", "other_on": "same chain"}),
                        ("2.4 deg crank late", {"other": "1.8 deg crank early", "other_on": "same chain"}),
                        ("2.4 deg crank early", {"other": "1.8 deg crank early", "other_on": "same chain"}),
                        ("0.1 deg crank late", {"other": "0 deg crank", "other_on": "same chain"}),
                        ("0.1 deg crank late", {"other": "18.9 deg crank late", "other_on": "same chain"}),
                        ("21.4 deg crank late", {"other": "20.8 deg crank late", "other_on": "other bank"}),
                        ("21.4 deg crank late", {"other": "0.5 deg crank early", "other_on": "other bank"}),
                        ("37.9 deg crank late", {"other": "18.9 deg crank late", "other_on": "same chain"}),
                        ("9.0 deg crank late", {"other": "0.2 deg crank late", "other_on": "same chain"}),
                        ("21.4 deg crank late", {}))
    ] + [{"cam": "bank 1 intake", "phaser": "base", "off": "21.4 deg crank late"}, {"cam": "bank 1"}, {},
         {"cam": "bank 1 intake", "phaser": "base", "read": "times"}, {"cam": "bank 1 intake", "phaser": "base", "read": "teeth"},
         {"cam": "bank 1 intake", "phaser": "base", "read": "degrees"}, {"cam": "bank 1 intake", "phaser": "base", "read": "off"},
         {"cam": "bank 1 intake", "phaser": "base", "gap": "0.0 ms", "edge": "13.3 ms", "next_gap": "92.3 ms", "next": "turn", "polarity": "rising", "nominal": "52.0 deg crank", "cam_teeth": "38"},
         {"cam": "bank 1 intake", "phaser": "base", "gap": "0.0 200.0 ms", "edge": "13.3 213.1 ms", "next_gap": "92.3 292.0 ms", "next": "turn", "cursor": "0.1 ms", "polarity": "unknown", "nominal": "52.0 deg crank", "cam_teeth": "38"},
         {"cam": "bank 1 intake", "phaser": "base", "gap": "0.0 ms", "edge": "113.3 ms", "next_gap": "92.3 ms", "next": "turn"},
         {"cam": "bank 1 intake", "phaser": "base", "gap": "0.0 ms", "edge": "13.3 ms", "next_gap": "92.3 ms", "next": "cycle", "polarity": "falling"},
         {"cam": "bank 1 intake", "phaser": "base", "teeth": "11", "fraction": "0.7", "wheel": "36-1", "polarity": "rising", "nominal": "96 deg crank", "cam_teeth": "38"},
         {"cam": "bank 1 intake", "phaser": "base", "teeth": "11 11 12", "fraction": "0.7 0.8 0.1", "wheel": "60-2", "polarity": "rising", "nominal": "52 deg crank", "cam_teeth": "42"},
         {"cam": "bank 1 intake", "phaser": "base", "teeth": "11", "fraction": "3", "wheel": "36-1"}, {"cam": "bank 1 intake", "phaser": "base", "teeth": "11", "wheel": "abc"},
         {"cam": "bank 1 intake", "phaser": "base", "degrees": "117.3 117.5 117.2 deg crank", "polarity": "rising", "nominal": "96 deg crank", "cam_teeth": "38"},
         {"cam": "bank 1 intake", "phaser": "base", "degrees": "117.3 deg", "polarity": "rising"},
         {"cam": "bank 1 intake", "phaser": "base", "off": "21.4 deg crank", "cam_teeth": "38"}],
    "centerline": [
        {"pairs": p, "side": s, **more}
        for p in ("70.6/174.4, 70.4/174.5, 70.7/174.4 deg crank", "70.6/174.4 deg crank", "70.6/174.4, 60.4/174.5 deg crank", "174.4/70.6 deg crank", "70.6/174.4", "70.6 deg crank")
        for s in ("after", "before")
        for more in ({}, {"wanted": "122.0 deg crank", "limit": "2.0 deg crank"}, {"wanted": "112.0 deg crank", "limit": "2.0 deg crank", "origin": "maker", "source": "manual"},
                     {"wanted": "120.0 deg crank"}, {"wheel": "cam"})
    ],
}


def turn_inputs():
    intact = dict(word.split("=", 1) for word in INTACT)
    choices = {"apart": "yes no partly unknown", "turned": "no|forward by hand|backwards|starter|unknown", "want": "turn backwards starter start unknown",
               "loop": "chain belt unknown", "chain": "on off unknown", "valves": "in place|followers out|caps loosened|unknown",
               "marks": "counted|sprocket marks|colored links|wrong|unknown", "since": "yes no unknown", "teeth": "0 1 2", "direction": "early late unknown",
               "camshaft": "intake exhaust unknown", "jump": "yes no unknown", "phaser": "locked|not locked|none fitted|unknown",
               "checked": "by hand both ways|lock tool|not checked|unknown", "tensioner": "pinned|released|not fitted|unknown", "variant": "yes no unknown",
               "rotation": "clockwise counterclockwise unknown", "seen_from": "front|flywheel end|unknown", "dropped": "yes no unknown",
               "resistance": "yes no unknown", "pistons": "mid-stroke|near top|unknown", "interference": "yes no unknown"}
    yield {}
    bases = [intact, {"apart": "yes"}, {**intact, "marks": "wrong"}, {**intact, "chain": "off"}, {**intact, "chain": "off", "valves": "followers out"},
             {**intact, "valves": "caps loosened"}, {**intact, "chain": "off", "valves": "caps loosened"}, {**intact, "valves": "followers out"},
             {**intact, "marks": "wrong", "teeth": "2", "direction": "early", "camshaft": "intake", "pistons": "near top"},
             {**intact, "marks": "wrong", "loop": "belt"}, {**intact, "loop": "belt"}, {**intact, "loop": "unknown", "marks": "counted"},
             {**intact, "phaser": "none fitted", "marks": "counted"}]
    for base in bases:
        for name, text in choices.items():
            for one in text.split("|") if "|" in text else text.split(" "):
                yield {**base, name: one}


class Said:
    def __init__(self, server):
        self.at = f"{server.scheme}://{server.host}:{server.port}"
        self.groups = {}
        self.heard = set()

    def ask(self, path, body=None, method=None):
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self.at + path, data, {"Content-Type": "application/json"}, method=method)
        try:
            with urllib.request.urlopen(request) as answer:
                return json.load(answer)
        except urllib.error.HTTPError as wrong:
            return json.load(wrong)

    def add(self, group, *texts):
        found = self.groups.setdefault(group, {})
        for text in texts:
            if isinstance(text, (list, tuple)):
                self.add(group, *text)
            elif text and (group != "turn" or self.has_news(text)):
                found.setdefault(re.sub(r"\d+([.]\d+)?", "#", text), text)

    def has_news(self, text):
        """Of the many cards of turning those that say something no other said."""
        clauses = {re.sub(r"\d+", "#", one) for one in re.split(r"[,;:.] ", text)}
        is_news = not clauses <= self.heard
        self.heard |= clauses
        return is_news

    def findings(self, told):
        turning = dict(told["turning"])
        for never in turning.pop("never"):
            self.add("judged", [text for key, text in never.items() if key != "asked"])
        self.add("judged", told["headline"], list(turning.values()))
        for one in told["findings"]:
            is_step = one["check"] == "procedure-gates"  # its subject is a step, as the author named it
            self.add("judged", one["check"].replace("-", " "), "" if is_step else one["subject"], one["why"], one["open_because"])
            self.add("judged", *(one[name] for name in ("follows", "next", "cautions", "budget")))
            self.add("judged", *(one[name]["shown"] for name in ("value", "limit") if one[name]))
            self.add("judged", one["limit"]["origin"] if one["limit"] else None)
        for one in told["not_looked_at"]:
            self.add("judged", one["check"].replace("-", " "), one["places"].split("; "))

    def quick(self, question, inputs):
        told = self.ask(f"/api/quick/{question}", {"typed": [{"input": name, "text": text} for name, text in inputs.items()]})
        if "status" in told and "detail" in told:
            return self.add("problems", told["detail"])
        if told.get("ask"):
            self.add("asked", told["ask"]["sentence"])
        if told.get("answer"):
            self.add(question, *(told["answer"][name] for name in ("lines", "steps", "assumed", "cautions")))

    def check(self, told):
        for one in told.get("levels", []):
            self.add("drives", one["level"], one["question"], one.get("detail"))
            for missing in one["missing"]:
                self.add("drives", missing["what"], missing["how"])
        for one in told.get("mistakes", []) + told.get("lint", []):
            self.add("drives", one["message"], one.get("hint"))


def positional(question, words, said):
    inputs, names = {}, [one["name"] for one in said[question]["inputs"]]
    words = [word for word in words]
    while words:
        word = words.pop(0)
        if word.startswith("--"):
            name, _, text = word[2:].partition("=")
            inputs[name.replace("-", "_")] = text or words.pop(0)
        elif word.split("=")[0] in names and "=" in word:
            name, text = word.split("=", 1)
            inputs[name] = text
        elif question == "convert":
            return {"value": "106 lbf·in"}
        else:
            inputs[next(name for name in names if name not in inputs)] = word
    return inputs


def collect(said):
    questions = {one["name"]: one for one in said.ask("/api/quick")["questions"]}
    for question in questions.values():
        said.add("asked", question["help"])
        for one in question["inputs"]:
            said.add("asked", one["ask"])
            said.add("choices", one["choices"])
    for question, words, *_ in ANSWERED:
        said.quick(question, positional(question, words, questions))
    for question, many in MORE.items():
        for inputs in many:
            said.quick(question, inputs)
    for inputs in turn_inputs():
        said.quick("turn", inputs)
    said.ask("/practice/api/reset", {}, "POST")
    for case in said.ask("/practice/api/cases")["cases"]:
        at = f"/practice/api/cases/{urllib.parse.quote(case['name'])}"
        said.findings(said.ask(at + "/findings"))
        motion = said.ask(at + "/motion")
        said.add("drawn", motion.get("notes", []), motion.get("backwards"), motion.get("marks_return"))
        for wheel in motion.get("wheels", []):
            said.add("drawn", wheel["name"], wheel["label"], wheel.get("error"))
        for chain in motion.get("chains", []):
            said.add("drawn", [one["name"] for one in chain["strands"]], [one["color"] for one in chain["marked"]])
        for one in said.ask(at + "/files")["files"]:
            if one["name"].endswith(".csv"):
                recording(said, said.ask(f"{at}/recording?name={urllib.parse.quote(one['name'])}"))
    for drive in said.ask("/api/drives")["drives"]:
        told = said.ask(f"/api/drives/{drive['name']}/check")
        said.check(told)
    oils(said)
    traces(said)
    timing(said)
    clearance(said)


def timing(said):
    """Stop, indicator, compression and leak-down, from nothing said to all of it."""
    intake = "bank 1 / intake camshaft"
    stop = {"kind": "stop", "before": "24.5 deg crank", "after": "22.1 deg crank"}
    whole_stop = {**stop, "cylinder": 1, "reading": "0.5 deg crank", "stop": "0.1 mm", "pressed_up": True}
    pairs = {"kind": "indicator", "place": intake, "pairs": [{"lift": "6.00 mm", "opens": o, "closes": c} for o, c in
             (("70.6 deg crank", "174.4 deg crank"), ("70.4 deg crank", "174.5 deg crank"), ("70.7 deg crank", "174.4 deg crank"))]}
    locked = {"forward_only": True, "phaser": "locked", "phaser_checked_how": "does not move by hand, both ways", "top": "0.4 deg crank"}

    def lobe(at, center, height, duration):
        x = (at - center) / (duration / 2)
        return height * math.cos(math.pi / 2 * x) ** 2 if abs(x) < 1 else 0.0

    def table(place, center, height, duration, late, lost=0.0):
        rows = [center - 150 + 5 * k for k in range(61)]
        return {"kind": "indicator", "place": place, **locked, "table": [
            {"at": f"{at} deg crank", "lift": f"{max(0.0, lobe(at - late, center, height, duration) - (lost if at > center + 5 else 0)):.3f} mm"} for at in rows]}

    def tests(quantity, values):
        gauge = "compression gauge" if quantity == "compression" else "leak-down tester"
        return [{"kind": "reading", "quantity": quantity, "place": f"cylinder {n}", "values": value, "instrument": gauge} for n, value in enumerate(values, 1)]

    cases = [
        [pairs], [stop, {**pairs, **locked}], [{**whole_stop, "pressed_up": False}, {**pairs, **locked}], [whole_stop, {**pairs, **locked}],
        [{**stop, "pressed_up": True}], [{**whole_stop, "reading": "1.5 deg crank"}], [{**whole_stop, "before": "2.5 deg crank", "after": "2.1 deg crank"}],
        [{**whole_stop, "before": "100 deg crank", "after": "100 deg crank"}],
        [{**whole_stop, "wheel_set": True}, pairs], [{**whole_stop, "wheel_set": True}, {**pairs, **locked, "forward_only": False}],
        [{**whole_stop, "wheel_set": True}, {**pairs, **locked, "phaser": "not locked"}], [{**whole_stop, "wheel_set": True}, {**pairs, **locked, "phaser_checked_how": "looked"}],
        [{**whole_stop, "wheel_set": True}, {**pairs, **locked}], [{**whole_stop, "wheel_set": True}, {**pairs, **locked, "pairs": pairs["pairs"][:1]}],
        [{**whole_stop, "wheel_set": True}, table(intake, 122, 9.5, 250, 21.4)], [{**whole_stop, "wheel_set": True}, table(intake, 122, 9.5, 250, 11)],
        [{**whole_stop, "wheel_set": True}, table(intake, 122, 9.5, 250, 21.4), table("bank 1 / exhaust camshaft", -113, 9.0, 245, 1.8)],
        [{**whole_stop, "wheel_set": True}, table(intake, 122, 9.5, 250, 0, 0.6)],
        [*tests("compression", ("1140 kPa", "1150 kPa", "1135 kPa", "1145 kPa")), *tests("leak-down", ("7 %", "100 %", "6 %"))],
        tests("compression", ("1340 kPa", "700 kPa", "1350 kPa", "1345 kPa")),
        [*tests("leak-down", ("7 %",)), {"kind": "part", "part": "intake phaser", "action": "fitted"}],
    ]
    for number, entries in enumerate(cases):
        at = f"/practice/api/cases/timing-{number}"
        said.ask("/practice/api/cases", {"name": f"timing-{number}", "drive": "quellmere-i4-16"}, "POST")
        for entry in entries:
            said.ask(at + "/entries", {"entry": {**entry, "by": "A."}}, "POST")
        said.findings(said.ask(at + "/findings"))


def oils(said):
    """Gauges and oil of engines whose bearings nobody measured, warm, cold and thick."""
    def pressure(place, value, speed="650 1/min", oil="95 degC"):
        return {"kind": "pressure", "place": place, "values": value, "speed": speed, "oil_temperature": oil, "instrument": "gauge"}

    worn = [pressure("main gallery", "185 kPa"), pressure("bank 1 / head port", "140 kPa"), pressure("bank 2 / head port", "88 kPa")]
    found = {"kind": "oil", "grade": "10W-40", "smell": "smells of fuel", "level": "low"}
    heard = {"kind": "complaint", "words": "rattles at hot idle, and in the first seconds of a cold start"}
    cases = [
        worn, [heard, *worn], worn[:2], [worn[0], worn[2]], [pressure("main gallery", "185 kPa"), pressure("bank 1 / head port", "139 kPa"), pressure("bank 2 / head port", "141 kPa")],
        [{**found, "grade": "5W-40"}, *worn], [found, *worn], [pressure(one["place"], "120 kPa", "760 1/min", "80 degC") for one in worn],
        [pressure(one["place"], "20 kPa") for one in worn], [pressure(one["place"], "310 kPa", "900 1/min", "35 degC") for one in worn], [*worn, *(pressure(one["place"], "200 kPa", oil="30 degC") for one in worn)],
    ]
    for number, entries in enumerate(cases):
        at = f"/practice/api/cases/oil-{number}"
        said.ask("/practice/api/cases", {"name": f"oil-{number}", "drive": "vessgarth-v6-12"}, "POST")
        said.ask(at + "/head", {"drive": "vessgarth-v6-12", "instruments": [{"name": "gauge", "uncertainty": "3 kPa", "resolution": "1 kPa"}]}, "POST")
        for entry in entries:
            said.ask(at + "/entries", {"entry": {**entry, "by": "A."}}, "POST")
        said.findings(said.ask(at + "/findings"))


def posted(said, path, body):
    """Bytes, as a file is sent."""
    asked = urllib.request.Request(said.at + path, body, {"Content-Type": "application/octet-stream"}, method="POST")
    try:
        with urllib.request.urlopen(asked) as answer:
            return json.load(answer)
    except urllib.error.HTTPError as wrong:
        return json.load(wrong)


def shown_trace(said, told):
    said.add("traces", told.get("answer"), told.get("missing"), told.get("assumed"), told.get("sentences"), told.get("open"),
             told.get("cannot_be_told"), told.get("differs"), told.get("problem"), told.get("decides"), told.get("detail"))
    for sign in told.get("signs") or []:
        said.add("traces", sign["sign"], sign["why"], sign["looks_the_same"], sign["follows"])


def traces(said):
    """Traces of every fate, before they are kept and in a case."""
    at = "/practice/api/cases/traces"
    said.ask("/practice/api/cases", {"name": "traces", "drive": "vessgarth-v6-12"}, "POST")
    fates = [trace(), trace(cross=12), trace(cross=4), trace(angle=130), trace(angle=40), trace(slope=600), trace(slope=1700), trace(per_force=2.6e-3),
             trace(per_force=1.2e-3), torn(), "", "a letter", "1;2\n", "Angle [deg];Torque [x]\n1;2\n", "Torque [N·m];Time [s]\n1;2\n", "Angle [deg];Torque [N·m]\n1;\n1\n",
             "Angle [deg];Torque [N·m]\n1;2\n", "Angle [deg];Torque [N·m]\n", "\0", trace()[:4000]]
    for fate in fates:
        for fastener in ("phaser bolt", "crank bolt", "guide bolts", "phaser bolts"):
            query = urllib.parse.urlencode({"fastener": fastener})
            shown_trace(said, posted(said, f"{at}/traces/read?{query}", fate.encode()))
    for number, how in enumerate([{}, {"slope": 1010}, {"slope": 990}, {"slope": 600}, {"cross": 12}, {"angle": 130}], 1):
        posted(said, f"{at}/files?name=traces/{number}.csv", trace(**how).encode())
        entry = {"kind": "torque trace", "fastener": "cylinder head bolts", "bolt": number, "file": f"traces/{number}.csv", "by": "A."}
        shown_trace(said, said.ask(f"{at}/traces/{said.ask(at + '/entries', {'entry': entry}, 'POST')['entry']['id']}"))
    for entry in ({"kind": "torque trace", "fastener": "bolt", "file": "traces/1.csv"}, {"kind": "part", "part": "phaser bolt", "action": "reused"},
                  {"kind": "part", "part": "guide bolts", "action": "reused"}, {"kind": "step", "step": "Tighten the phaser bolts"},
                  {"kind": "step", "step": "Pull the pin of bank 1"}, {"kind": "step", "step": "Prove the marks", "against_gate": "in a hurry", "allowed_by": "foreman"}, {"kind": "step", "step": "Pul the pin"}, {"kind": "step", "step": "Tighten the phaser bolts", "interrupted": True}):
        said.ask(at + "/entries", {"entry": {**entry, "by": "A."}}, "POST")
    said.findings(said.ask(at + "/findings"))
    for drive in said.ask("/api/drives")["drives"]:
        for card in said.ask(f"/api/drives/{drive['name']}/work").get("fasteners", []):
            notes = {one.get("note") for one in said.ask(f"/api/drives/{drive['name']}").get("fasteners", [])}  # of the author
            said.add("cards", card["use"], card["order"], card["asks"], card["clamp_load"], [one for one in card["cautions"] if one not in notes])
            for step in card["steps"]:
                said.add("cards", step["target"], step["wrench"], step["no_wrench"])
    said.ask(at + "/head", {"drive": "vessgarth-v6-12", "instruments": [{"name": "small", "range": "5..25 N·m"}, {"name": "large", "range": "40..200 N·m"}]}, "POST")
    work = said.ask(at + "/work")
    for card in work["fasteners"]:
        for step in card["steps"]:
            said.add("cards", step["wrench"], step["no_wrench"])
    for step in work["procedure"]["steps"]:
        said.add("gates", step.get("gate_wants"), step.get("gate_open"), [one["why"] for one in step.get("missing", [])])
    said.add("gates", [one["words"] for one in work["procedure"]["open"]], work["procedure"]["said"], (work["procedure"].get("interrupted") or {}).get("words"))


def clearance(said):
    """Gaps of every definition; stops and lifts of every fate before they are entered."""
    for drive in said.ask("/api/drives")["drives"]:
        for told in said.ask(f"/api/drives/{drive['name']}/clearance")["drives"]:
            said.add("gaps", told["cautions"], told["without_figures"], told["free_camshafts"]["not_known"])
            for valves in told["valves"]:
                said.add("gaps", valves["camshaft"], valves["valves"], valves["missing"])
                for row in valves["rows"]:
                    said.add("gaps", row["words"])
                    for cell in row["cells"]:
                        said.add("gaps", cell["phaser"], cell["words"], cell["missing"])
    at = "/practice/api/cases/lifts"
    said.ask("/practice/api/cases", {"name": "lifts", "drive": "quellmere-i4-16"}, "POST")
    for before, after in (("24.5", "22.1"), ("22.1", "24.5"), ("23", "23"), ("6", "6.2"), ("80", "79"), ("1", "1.5"), ("120", "100"), ("24.5 24.4", "22.1")):
        for more in ({}, {"pressed_up": True, "reading": "0.5 deg crank", "stop": "0.1 mm"}, {"pressed_up": False}):
            told = said.ask(f"{at}/clearance/stop", {"before": f"{before} deg crank", "after": f"{after} deg crank", **more})
            said.add("lifts", told["why_not"], *((told["found"] or {}).get(name) for name in ("words", "cautions")))

    def pairs(*all_of_them):
        return {"pairs": [{"lift": f"{lift} mm", "opens": f"{a} deg crank", "closes": f"{b} deg crank"} for lift, a, b in all_of_them]}

    def table(by, step=10, noise=0.0, turned=False):
        angles = [*range(10, 240, step), *([100] if turned else [])]
        lifts = [9.5 * math.cos(math.pi / 2 * (a - 122 + by) / 125) ** 2 + noise * (-1) ** n if abs(a - 122 + by) < 125 else 0 for n, a in enumerate(angles)]
        return {"table": [{"at": f"{a} deg crank", "lift": f"{max(lift, 0):.2f} mm"} for a, lift in zip(angles, lifts)]}

    fates = [{}, pairs((6, 70.6, 174.4), (6, 70.4, 174.5), (6, 70.7, 174.4)), pairs((6, 70.6, 174.4)), pairs((6, 174.4, 70.6)), pairs((6, 70.6, 174.4), (6, 60, 170)),
             pairs((6, 70.6, 174.4), (3, 50, 190)), pairs((6, 89.6, 193.4), (6, 89.4, 193.5)), pairs((6, 92, 195.8)), pairs((6, 81, 185)), pairs((6, 60.6, 164.4)),
             table(0), table(-19), table(-21.4), table(-9), table(19), table(0, 40), table(0, 60), table(0, noise=0.3), table(0, turned=True)]
    for fate in fates:
        for more in ({}, {"top": "0.4 deg crank", "forward_only": True, "phaser": "locked", "phaser_checked_how": "lock tool fitted and engages", "instrument": "dial indicator"},
                     {"forward_only": False, "phaser": "not locked"}):
            told = said.ask(f"{at}/clearance/indicator", {"place": "bank 1 / intake camshaft", **fate, **more})
            said.add("lifts", told["why_not"], *((told["found"] or {}).get(name) for name in ("words", "warnings", "explained")))


def recording(said, told):
    said.add("recorded", told.get("sentence"), told.get("notes"), told.get("contradictions"), told.get("not_compared"))
    said.add("recorded", [one["says"] for one in told.get("signals") or []])
    for one in told.get("hypotheses", []):
        said.add("recorded", one["name"], one["says"])
    for cam in told.get("cams", []):
        said.add("recorded", cam.get("cam"))
        if cam.get("window"):
            said.add("recorded", cam["window"]["says"], cam["window"].get("open_because"))


def main():
    with tempfile.TemporaryDirectory() as folder, Server(pathlib.Path(folder) / "said.store") as server:
        said = Said(server)
        collect(said)
    told = {group: sorted(found.values()) for group, found in said.groups.items()}
    (ROOT / "web" / "tests" / "said.json").write_text(json.dumps(told, indent=1, ensure_ascii=False) + "\n")
    print({group: len(found) for group, found in told.items()})


if __name__ == "__main__":
    main()
