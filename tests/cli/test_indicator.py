# SPDX-License-Identifier: Apache-2.0
"""Timing proven by stop and indicator, and what compression does not prove: the story of trade.md
6.B through `tautmark judge`, and questions 4, 16, 17, 18 and 23 of its section 7."""

import json
import math
import random
import re
import unittest

import scipy.optimize

import program

INTAKE, EXHAUST = "bank 1 / intake camshaft", "bank 1 / exhaust camshaft"
LOCKED = 'forward_only: true, phaser: locked, phaser_checked_how: "does not move by hand, both ways"'
# trade.md 6.B, as found.
AS_FOUND = f"""
  - {{kind: recording, id: found, engine: cranking, phasers: base, edges: [
      {{cam: {INTAKE}, values: 117.3 117.5 117.2 117.6 117.4 deg crank}},
      {{cam: {EXHAUST}, values: 133.7 133.9 133.8 133.6 134.0 deg crank}}]}}
""" + "".join(
    f"  - {{kind: reading, id: {quantity[0]}{n}, quantity: {quantity}, place: cylinder {n}, values: {value}, instrument: {gauge}}}\n"
    for quantity, gauge, values in (
        ("compression", "compression gauge", ("1140 kPa", "1150 kPa", "1135 kPa", "1145 kPa")),
        ("leak-down", "leak-down tester", ("7 %", "8 %", "6 %", "7 %")))
    for n, value in enumerate(values, 1))
FITTED = """
  - {kind: part, id: chain, part: chain of 138 links, action: fitted}
  - {kind: part, id: phaser, part: intake phaser, action: fitted}
"""
STOP = """
  - {kind: stop, id: stop, cylinder: 1, before: 24.5 deg crank, after: 22.1 deg crank,
     reading: 0.5 deg crank, stop: 0.1 mm, pressed_up: true, wheel_set: true, instrument: degree wheel}
"""
PAIRS = f"""
  - {{kind: indicator, id: lift, place: {INTAKE}, cylinder: 1, top: 0.4 deg crank, {LOCKED}, pairs: [
      {{lift: 6.00 mm, opens: 70.6 deg crank, closes: 174.4 deg crank}},
      {{lift: 6.00 mm, opens: 70.4 deg crank, closes: 174.5 deg crank}},
      {{lift: 6.00 mm, opens: 70.7 deg crank, closes: 174.4 deg crank}}]}}
"""
COMPRESSION_AFTER = "".join(
    f"  - {{kind: reading, id: after{n}, quantity: compression, place: cylinder {n}, values: {value} kPa, instrument: compression gauge}}\n"
    for n, value in enumerate((1345, 1355, 1340, 1350), 1))


def lobe(at, center, height, duration):
    """geometry.md 6.1, harmonic: h cos²(90° x/B)."""
    x = (at - center) / (duration / 2)
    return height * math.cos(math.pi / 2 * x) ** 2 if abs(x) < 1 else 0.0


def table(entry, place, rows):
    return f"  - {{kind: indicator, id: {entry}, place: {place}, top: 0.4 deg crank, {LOCKED}, table: [" + ", ".join(
        f"{{at: {at} deg crank, lift: {lift:.3f} mm}}" for at, lift in rows) + "]}\n"


class Story(program.InFolder):
    def judged(self, entries, code=None):
        (self.folder / "case.yaml").write_text(
            "tautmark: case/1\nname: a\ndrive: quellmere-i4-16\nentries:\n" + entries)
        done = program.run("judge", self.folder / "case.yaml", "--drives", program.ROOT / "drives", "--json", "-")
        if code is not None:
            self.assertEqual(done.returncode, code, done.stdout + done.stderr)
        return json.loads(done.stdout)["findings"]

    def one(self, findings, check, subject):
        found = [f for f in findings if f["check"] == check and f["subject"].startswith(subject)]
        self.assertEqual(len(found), 1, (check, subject))
        return found[0]

    @staticmethod
    def words(finding):
        return "\n".join([finding["why"], *finding["next"], *finding["follows"], *finding["cautions"], *finding["budget"]])

    def test_the_whole_story(self):
        findings = self.judged(AS_FOUND + FITTED + STOP + PAIRS + COMPRESSION_AFTER)
        top = self.one(findings, "top-dead-center", "top dead center of cylinder 1")
        self.assertEqual(top["verdict"], "pass")
        self.assertIn("1.2° before ± 0.4°", top["why"])
        lift = self.one(findings, "lobe-center", INTAKE)
        self.assertEqual((lift["verdict"], lift["subject"]), ("pass", INTAKE))
        self.assertIn("122.5°", lift["why"])
        self.assertAlmostEqual(math.degrees(lift["value"]["value"]), -0.5, delta=1e-3)
        for n in range(1, 5):
            after = self.one(findings, "compression", f"cylinder {n}")
            self.assertEqual((after["verdict"], after["evidence"]), ("pass", [f"after{n}"]))
        leak = self.one(findings, "leak-down", "cylinder 1")
        self.assertIn("as found", leak["subject"])

    # Question 17.
    def test_even_and_above_the_minimum_is_no_proof(self):
        findings = self.judged(AS_FOUND, 1)  # the recording fails, not the compression
        for n in range(1, 5):
            self.assertEqual(self.one(findings, "compression", f"cylinder {n}")["verdict"], "pass")
        together = self.one(findings, "compression", "cylinders together")
        self.assertEqual(together["verdict"], "open")
        self.assertIn("even and above the minimum is no proof of timing", together["why"])
        self.assertIn("record crank and cam sensors", together["next"][0])
        self.assertIn("spread 1.3 %", together["why"])
        # trade.md 6.B: 0.8545 of 1350 at 21.36° late, 1154; recorded were 21.4°.
        recorded = re.search(r"as recorded \(found\), 21\.4° crank late .* gas law: (\d+) kPa", self.words(together))
        self.assertAlmostEqual(int(recorded[1]), 1154, delta=1)

    # Question 18.
    def test_a_leak_after_a_jump_is_not_yet_a_bent_valve(self):
        findings = self.judged(AS_FOUND.replace("values: 8 %", "values: 100 %"))
        leak = self.one(findings, "leak-down", "cylinder 2")
        self.assertEqual(leak["verdict"], "open")
        self.assertIn("as the camshafts really stand", leak["why"])
        self.assertIn("adjuster", self.words(leak))

    # Question 23.
    def test_a_damper_mark_is_no_top(self):
        findings = self.judged(PAIRS, 3)
        top = self.one(findings, "top-dead-center", "top dead center")
        self.assertEqual(top["verdict"], "open")
        self.assertIn("damper mark can slip", self.words(top))
        self.assertEqual(self.one(findings, "lobe-center", INTAKE)["verdict"], "open")
        text = program.run("quick", "dead-center", "24.5 deg crank", "22.1 deg crank").stdout
        self.assertIn("1.20° (crank)", text)

    # Question 16.
    def test_never_back(self):
        findings = self.judged(STOP + PAIRS.replace("forward_only: true", "forward_only: false"), 3)
        lift = self.one(findings, "lobe-center", INTAKE)
        self.assertIn("go on two turns, never back", self.words(lift))

    # Question 4, and the fit against scipy on the same noisy data.
    def test_a_tooth_and_wear_from_two_tables(self):
        noise = random.Random(4)
        late = {INTAKE: (21.36, 122.0, 9.5, 250.0), EXHAUST: (1.8, -113.0, 9.0, 245.0)}
        entries, expected = STOP, {}
        for number, (place, (shift, center, height, duration)) in enumerate(late.items()):
            rows = [(center - 150 + 5 * k, lobe(center - 150 + 5 * k - shift, center, height, duration)
                     + 0.08 + noise.gauss(0, 0.02)) for k in range(61)]
            rows = [(at, round(lift, 3)) for at, lift in rows]
            entries += table(f"t{number}", place, rows)
            fit = scipy.optimize.least_squares(
                lambda p, rows=rows, c=center, h=height, d=duration: [lobe(at + p[0], c, h, d) + p[1] - lift for at, lift in rows],
                [-shift + 2, 0.0], xtol=1e-12, ftol=1e-12)
            expected[place] = fit.x[0]
        findings = self.judged(entries, 1)
        for place, early in expected.items():
            found = self.one(findings, "lobe-center", place)
            self.assertAlmostEqual(math.degrees(found["value"]["value"]), early, delta=2e-3)
        intake = self.one(findings, "lobe-center", INTAKE)
        self.assertEqual(intake["verdict"], "fail")
        self.assertIn("1 tooth late", self.words(intake))
        self.assertIn("shows 1.8° late", self.words(intake))
        # 1.8 of 2.0 allowed, known to half a degree: neither proven.
        self.assertEqual(self.one(findings, "lobe-center", EXHAUST)["verdict"], "open")

    def test_mistakes_name_file_line_and_field(self):
        (self.folder / "case.yaml").write_text(
            "tautmark: case/1\nname: a\ndrive: quellmere-i4-16\nentries:\n"
            "  - {kind: stop, id: e1, before: 24.5 24.6 deg crank,\n     after: 22.1 deg crank}\n")
        done = program.run("judge", self.folder / "case.yaml", "--drives", program.ROOT / "drives")
        self.assertEqual(done.returncode, 2, done.stderr)
        self.assertRegex(done.stderr, r"case\.yaml:6:\d+: error: 1 readings after the zero and 2 before")

    def test_the_printed_record_tells_the_new_entries(self):
        gap = "  - {kind: valve gap, id: g, place: " + INTAKE + ", gap: 5.1 ± 0.2 mm, how: soft clay}\n"
        standing = "  - {kind: standing, id: s, crank: 75 ± 1 deg crank, after: firing, camshafts: [{at: " + INTAKE + ", stands: 2 teeth late}]}\n"
        self.judged(STOP + PAIRS + gap + standing)
        program.run("judge", self.folder / "case.yaml", "--drives", program.ROOT / "drives", "--html", self.folder / "out.html")
        text = (self.folder / "out.html").read_text()
        for words in ("before 24.5 deg crank", "6.00 mm: opens 70.6 deg crank", "gap 5.1 ± 0.2 mm", "2 teeth late"):
            self.assertIn(words, text)


if __name__ == "__main__":
    unittest.main()
