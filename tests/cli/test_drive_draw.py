# SPDX-License-Identifier: Apache-2.0
"""tautmark drive draw and learn; the pictures of docs/ are what the program draws."""

import pathlib
import unittest
import xml.etree.ElementTree as xml

from program import InFolder

ROOT = pathlib.Path(__file__).resolve().parents[2]
LATE = "bank 1 / intake camshaft = 1 tooth late"
# File of docs/pictures -> arguments that make it.
PICTURES = {
    "vessgarth-v6-12": ["vessgarth-v6-12"],
    "vessgarth-v6-12-strands": ["vessgarth-v6-12", "--strands"],
    "quellmere-i4-16": ["quellmere-i4-16"],
    "quellmere-i4-16-strands": ["quellmere-i4-16", "--strands"],
    "quellmere-i4-16-late": ["quellmere-i4-16", "--off", LATE],
    "thin": ["thin"],
}
FOLDER = ROOT / "docs" / "pictures"


class Draw(InFolder):
    def drawn(self, *arguments):
        return self.expect(0, "drive", "draw", *arguments).stdout

    def test_pictures_of_the_documentation_are_current(self):
        for name, arguments in PICTURES.items():
            with self.subTest(name):
                self.assertEqual((FOLDER / f"{name}.svg").read_text(), self.drawn(*arguments),
                                 f"tautmark drive draw {' '.join(arguments)} makes it anew")

    def test_every_drawing_is_xml_with_every_link(self):
        for name, links in [("vessgarth-v6-12", 248), ("skarnmoor-i4-16", 192), ("thin", 116)]:
            for extra in [], ["--mirrored"], ["--paper", "print"], ["--crank", "77 deg crank"]:
                root = xml.fromstring(self.drawn(name, *extra))
                self.assertTrue(root.tag.endswith("}svg"))
                drawn = [e for e in root.iter() if "data-link" in e.attrib]
                self.assertEqual(len(drawn), links, name)

    def test_a_late_wheel_carries_its_teeth_and_degrees(self):
        svg = self.drawn("quellmere-i4-16", "--off", LATE)
        text = " ".join("".join(e.itertext()) for e in xml.fromstring(svg).iter()
                        if e.tag.endswith("}text"))
        self.assertIn("1 tooth late", text)
        self.assertIn("18.9° crank", text)

    def test_mirrored_says_from_where_it_is_seen(self):
        self.assertIn("seen from the flywheel end", self.drawn("quellmere-i4-16", "--mirrored"))

    def test_a_drive_without_coordinates_says_not_to_scale(self):
        self.assertIn("not to scale", self.drawn("thin"))

    def test_frames_fill_a_folder(self):
        frames = self.folder / "frames"
        self.expect(0, "drive", "draw", "wendlebrook-i4-8", "--frames", "4", "--svg", frames)
        self.assertEqual(len(list(frames.iterdir())), 4)

    def test_wrong_arguments_say_what_would_be_right(self):
        for arguments, words in [
            (["--off", "bank 9 / camshaft = 1 tooth late"], "there are: bank 1 / intake camshaft"),
            (["--off", "bank 1 / intake camshaft = 1 tooth"], "which way"),
            (["--crank", "30"], "deg crank"),
            (["--worn", "no chain = 0.2 %"], "timing chain"),
            (["--groove", "timing chain / no guide = 0.6 mm"], "--groove"),
        ]:
            result = self.expect(64, "drive", "draw", "quellmere-i4-16", *arguments)
            self.assertIn(words, result.stderr)

    def test_a_chain_that_cannot_fit_is_named_with_what_is_missing(self):
        text = (ROOT / "drives" / "quellmere-i4-16.drive.yaml").read_text()
        file = self.folder / "short.drive.yaml"
        file.write_text(text.replace("links: 138", "links: 130"))
        result = self.expect(2, "drive", "draw", file)
        self.assertIn("too short", result.stderr)


class Learn(InFolder):
    # Taps made from the drive's own coordinates at 2 pixels per mm.
    TAPS = ["--tap", "crank = 500, 800", "--tap", "bank 1 / intake camshaft = 376, 76", "--tap",
            "bank 1 / exhaust camshaft = 624, 76"]

    def test_centers_come_back_from_their_taps(self):
        out = self.expect(0, "drive", "learn", "quellmere-i4-16", *self.TAPS, "--rim",
                          "crank = 451.396, 800, 548.604, 800").stdout
        self.assertIn("x: -62.0 mm, y: 362.0 mm", out)
        self.assertIn("needs 137.0 of 138 links", out)  # trade.md 6.B: 137.04

    def test_without_scale_or_crank_it_asks(self):
        self.expect(2, "drive", "learn", "quellmere-i4-16", *self.TAPS)
        result = self.expect(64, "drive", "learn", "quellmere-i4-16", *self.TAPS[2:])
        self.assertIn("crankshaft", result.stderr)


if __name__ == "__main__":
    unittest.main()
