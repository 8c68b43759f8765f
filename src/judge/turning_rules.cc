// SPDX-License-Identifier: Apache-2.0
#include "judge/turning_rules.h"

#include <fmt/format.h>

namespace tautmark::turning {
namespace {

using Facts = TurningFacts;

constexpr std::string_view kValvesFirst =
    "leave the crank where it is; take the valves out of the question first: every follower out, "
    "or the cam caps loosened evenly in the maker's sequence so that the valves close; only then "
    "bring the pistons mid-stroke";
constexpr std::string_view kLook =
    "leave the crank where it is; look at the sprocket marks and count the {links} between them, "
    "without turning";

constexpr Rule kRules[] = {
    {.name = "starter",
     .forbids = [](const Facts& f) { return f.wish == Wish::starter; },
     .because = "the starter does not stop at resistance: the first touch bends a valve and "
                "nobody feels it",
     .instead = "keep the start inhibited; ask again for turning by hand",
     .changes_it = "nothing makes the starter right; by hand is another question",
     .say = "Never on the starter. Keep the start inhibited.",
     .missing = "not the starter"},
    {.name = "start",
     .forbids = [](const Facts& f) { return f.wish == Wish::start; },
     .because = "turned by hand without resistance clears contact only with the phasers where "
                "they were: a cam one tooth early can turn free locked and touch at full advance",
     .instead = "prove sprocket marks, {links} counted, or a degree wheel right on every sprocket; "
                "then prime the oil; then start by the engine maker's procedure",
     .changes_it = "marks, counts or degree wheel proven right; even then the start is released "
                   "by the maker's procedure, not by this card",
     .say = "Do not start it yet. Turning free does not prove the marks: they must be right too, "
            "then prime, then start.",
     .missing = "no start asked for"},
    {.name = "backwards",
     .forbids = [](const Facts& f) { return f.wish == Wish::backwards; },
     .because = "backwards the slack goes to the tight side: a plunger without ratchet yields, "
                "and a tooth can jump",
     .instead = "go on two turns in running direction instead, if that is allowed",
     .changes_it = "nothing makes backwards right; in running direction is another question",
     .say = "Never backwards, not even a little. Where forward is allowed, go on two turns "
            "instead.",
     .missing = "not backwards"},
    {.name = "resistance",
     .forbids = [](const Facts& f) { return f.resistance == true; },
     .because = "resistance was felt: a valve may touch a piston or another valve",
     .instead = "stop, force nothing, do not turn back; enter where the crank stands; then take "
                "the valves out of the question: every follower out, or the cam caps loosened "
                "evenly in the maker's sequence",
     .changes_it = "the cause of the resistance found and removed without turning",
     .say = "Stop where you are. Do not force it and do not turn it back. Tell me where the crank "
            "stands.",
     .missing = "cause of the resistance"},
    {.name = "dropped",
     .forbids = [](const Facts& f) { return f.dropped == true; },
     .because = "something dropped into the {loop} case can lift the {loop} over a tooth",
     .instead = "stop until it is found: magnet, borescope, oil pan off",
     .changes_it = "the dropped part found and in your hand, whole",
     .say = "Nothing moves until the dropped part is found and in your hand.",
     .missing = "the dropped part"},
    {.name = "chain-off",
     .forbids = [](const Facts& f) { return f.chain == OnOff::off && !valves_closed(f); },
     .because = "with the {loop} off the crank moves pistons against valves that stand where they "
                "were left",
     .instead = kValvesFirst,
     .changes_it = "every valve proven closed: every follower out, or every cap loosened",
     .say = "Do not turn the crank with the {loop} off. First followers out, or cam caps loosened "
            "evenly, until every valve is closed.",
     .missing = "every valve closed"},
    {.name = "caps-loosened",
     .forbids =
         [](const Facts& f) {
           return f.chain == OnOff::on && f.valves == ValvesNow::caps_loosened;
         },
     .because = "the {loop} would pull at camshafts that lie loose",
     .instead = "hold the camshafts at their flats, tensioner pinned, lift the {loop} off and hold "
                "it clear of the crank sprocket",
     .changes_it = "the {loop} off and held clear, every valve still closed",
     .say = "Do not turn with the caps loose and the {loop} on. Lift the {loop} off first, hold "
            "it clear, then ask again.",
     .missing = "the {loop} off the loose camshafts"},
    {.name = "valves-bent",
     .forbids = [](const Facts& f) { return !f.bent.empty(); },
     .because = "a bent valve does not shut, whatever presses it: ",  // turning.cc adds why
     .instead = "leave the crank where it is; look at valves and crowns of every cylinder through "
                "the plug holes",
     .changes_it = "the valves of every cylinder seen straight by a borescope, or leak-down, "
                   "entered before the state",
     .say = "Do not turn the crank. A bent valve does not shut: look into every cylinder first.",
     .missing = "valves straight"},
    {.name = "marks-wrong",
     .forbids =
         [](const Facts& f) { return f.marks == MarksNow::wrong && drive_must_be_intact(f); },
     .because = "",  // turning.cc says how far and which way
     .instead = kValvesFirst,
     .changes_it = "every valve proven closed (followers out, or the {loop} off and caps "
                   "loosened): the pistons can then be brought mid-stroke",
     .say = "Do not turn the crank. First followers out, or cam caps loosened evenly in sequence, "
            "so that the valves close; only then bring the pistons mid-stroke.",
     .missing = "marks right"},
    {.name = "said",
     .forbids = [](const Facts& f) { return !f.said.empty() && drive_must_be_intact(f); },
     .because = "it was said on the phone: ",
     .instead = "leave the crank where it is; look at that first, without turning, and count the "
                "{links} between the marks",
     .changes_it =
         "the state of the engine and every count of {links}, entered after it, that show "
         "the drive right; or every valve proven closed",
     .say = "Do not turn the crank. What was said on the phone must be looked at first, without "
            "turning.",
     .missing = "what was said on the phone, looked at"},
    {.name = "chain-unknown",
     .forbids = [](const Facts& f) { return f.chain == OnOff::unknown; },
     .because = "nobody has said whether the {loop} is on every sprocket",
     .instead = kLook,
     .changes_it = "the {loop} seen on every sprocket",
     .say = "Do not turn it yet. Look, and tell me: is the {loop} on every sprocket, and where do "
            "the sprocket marks stand?",
     .missing = "{loop} on every sprocket"},
    {.name = "valves-unknown",
     .forbids =
         [](const Facts& f) { return f.chain != OnOff::off && f.valves == ValvesNow::unknown; },
     .because = "nobody has said whether followers and cam caps are in place and tight",
     .instead = "leave the crank where it is; look under the cam cover",
     .changes_it = "followers in and every cap tight; or every follower out",
     .say = "Do not turn it yet. Are all followers in and all cam caps tight?",
     .missing = "followers and caps"},
    {.name = "work",
     .forbids = [](const Facts& f) { return !f.work.empty() && drive_must_be_intact(f); },
     .because = "by the steps entered the engine is not together: ",  // turning.cc adds what
     .instead = "leave the crank where it is; finish that step, or take it back where it was "
                "entered by mistake",
     .changes_it = "that step finished and entered",
     .say = "Do not turn it. The work on it is not finished: finish the step first.",
     .missing = "the steps entered finished"},
    {.name = "contradiction",
     .forbids = [](const Facts& f) { return !f.contradiction.empty(); },
     .because = "the definition contradicts itself: ",  // turning.cc adds at what
     .instead =
         "leave the crank where it is; compare the definition with the maker's data and with "
         "the engine",
     .changes_it = "a definition that does not contradict itself",
     .say = "Do not turn it. The data I have for this engine contradict themselves.",
     .missing = "data without contradiction"},
    {.name = "jump",
     .forbids =
         [](const Facts& f) {
           return drive_must_be_intact(f) && f.marks == MarksNow::sprocket_marks &&
                  f.jump_heard != false;
         },
     .because = "marks alone do not rule out a jump where a rattle and sudden loss of power were "
                "heard, or nobody asked",
     .instead = "leave the crank where it is; count the {links} from mark to mark on every strand, "
                "without turning",
     .changes_it = "the {links} of every strand counted and right",
     .say = "Do not turn it yet. Count the {links} of every strand from mark to mark and read the "
            "counts to me.",
     .missing = "{links} counted"},
    {.name = "marks-colored",
     .forbids =
         [](const Facts& f) {
           return drive_must_be_intact(f) && f.marks == MarksNow::colored_links;
         },
     .because = "colored links prove nothing: they come back after many turns only, and another "
                "{loop} carries others",
     .instead = kLook,
     .changes_it = "sprocket marks or counted {links} right on every sprocket",
     .say = "Do not turn it yet. Forget the colored links: look at the sprocket marks and count "
            "the {links}.",
     .missing = "marks right"},
    {.name = "marks-before",
     .forbids =
         [](const Facts& f) {
           return drive_must_be_intact(f) && f.marks == MarksNow::before_last_touch;
         },
     .because = "the marks were seen before the drive was last touched or turned",
     .instead = kLook,
     .changes_it = "the marks seen again, right on every sprocket, nothing touched after",
     .say = "Do not turn it yet. Look at the marks again as they stand now.",
     .missing = "marks right"},
    {.name = "marks-unknown",
     .forbids =
         [](const Facts& f) { return drive_must_be_intact(f) && f.marks == MarksNow::unknown; },
     .because = "where the marks stand is not proven",
     .instead = kLook,
     .changes_it = "sprocket marks or counted {links} right on every sprocket, nothing touched "
                   "after",
     .say =
         "Do not turn it yet. Look at the sprocket marks and count the {links}, without turning.",
     .missing = "marks right"},
    {.name = "phaser-not-locked",
     .forbids =
         [](const Facts& f) {
           return drive_must_be_intact(f) && f.phasers == PhasersNow::not_locked;
         },
     .because = "a phaser off its lock can swing to full advance, where valves stand nearest to "
                "pistons",
     .instead = "lock it as the engine maker says, without turning the crank",
     .changes_it = "every phaser locked, and checked how",
     .say = "Do not turn it. A phaser is off its lock: lock it the maker's way without turning "
            "the crank.",
     .missing = "phasers locked"},
    {.name = "phaser-unchecked",
     .forbids =
         [](const Facts& f) {
           return drive_must_be_intact(f) &&
                  (f.phasers == PhasersNow::unknown || f.phasers == PhasersNow::locked_unchecked);
         },
     .because = "that every phaser is locked is not checked",
     .instead = "try by hand at each cam whether the phaser moves against its sprocket, both ways, "
                "crank still",
     .changes_it = "every phaser checked locked, and how that was checked",
     .say = "Do not turn it yet. Try each phaser by hand, both ways, crank still: does it move?",
     .missing = "phasers locked and checked"},
    {.name = "tensioner-pinned",
     .forbids =
         [](const Facts& f) { return f.chain == OnOff::on && f.tensioner == TensionerNow::pin_in; },
     .because = "with the pin in nothing takes up the slack, and a tooth can jump",
     .instead = "strands seated, slack on the tensioner side, marks and {links} counted right: "
                "then the pin out, push the arm, see it move",
     .changes_it = "the tensioner released and seen to move",
     .say = "Do not turn it with the pin in. Slack to the tensioner side, pin out, and see the arm "
            "take up.",
     .missing = "tensioner released"},
    {.name = "tensioner-missing",
     .forbids =
         [](const Facts& f) {
           return f.chain == OnOff::on && f.tensioner == TensionerNow::not_fitted;
         },
     .because = "without its tensioner the {loop} can jump a tooth",
     .instead = "fit the tensioner pinned, seat both strands, slack on its side, then release it",
     .changes_it = "the tensioner fitted and released",
     .say = "Do not turn it without the tensioner. Fit it, slack to its side, then release it.",
     .missing = "tensioner released"},
    {.name = "tensioner-unknown",
     .forbids =
         [](const Facts& f) {
           return f.chain != OnOff::off && f.tensioner == TensionerNow::unknown;
         },
     .because = "nobody has said whether the tensioner is pinned or released",
     .instead = "look at the tensioner: pin in or out, arm against the {loop}",
     .changes_it = "the tensioner seen released",
     .say = "Do not turn it yet. Is the tensioner pin in or out?",
     .missing = "tensioner released"},
    {.name = "variant-unknown",
     .forbids = [](const Facts& f) { return !f.variant_known; },
     .because = "the exact variant is not known: a sister engine has other marks and counts",
     .instead = "read engine code, serial number and casting marks",
     .changes_it = "the variant identified",
     .say = "Do not turn it yet. Read me the engine code, letter by letter.",
     .missing = "variant"},
    {.name = "rotation-unknown",
     .forbids = [](const Facts& f) { return !f.rotation; },
     .because = "the running direction is not known, or not from which end it is seen",
     .instead = "look it up in the maker's data, with the end it is seen from",
     .changes_it = "the running direction, and the end it is seen from",
     .say = "Do not turn it yet. Which way does this engine run, and seen from which end?",
     .missing = "running direction"},
    {.name = "not-apart",
     .forbids = [](const Facts& f) { return f.apart == YesNo::no; },
     .because = "behind closed covers nobody has seen marks, {loop}, tensioner or phasers",
     .instead = "leave the crank where it is; covers off as far as it takes to see the marks",
     .changes_it = "covers off and the marks seen right on every sprocket",
     .say = "Do not turn it to find out. Take the cover off and look at the marks first.",
     .missing = "covers off"},
    {.name = "apart-unknown",
     .forbids = [](const Facts& f) { return f.apart == YesNo::unknown; },
     .because = "nobody has said whether the engine is apart",
     .instead = "look what is off and say who took it off",
     .changes_it = "how far the engine is apart",
     .say = "Do not turn it yet. How far is it apart, and who took it apart?",
     .missing = "how far apart"},
    {.name = "dropped-unknown",
     .forbids = [](const Facts& f) { return !f.dropped; },
     .because = "nobody has said that nothing fell into the {loop} case",
     .instead = "count bolts, pins and tools; look into the {loop} case with a lamp",
     .changes_it = "nothing missing, nothing in the {loop} case",
     .say = "Do not turn it yet. Is anything missing that could lie in the {loop} case?",
     .missing = "nothing dropped"},
    {.name = "resistance-unknown",
     .forbids = [](const Facts& f) { return !f.resistance; },
     .because = "nobody has said whether resistance was felt",
     .instead = "ask everybody who had a wrench on it",
     .changes_it = "no resistance felt by anybody so far",
     .say = "Do not turn it yet. Has anybody felt it go tight?",
     .missing = "no resistance"},
};

}  // namespace

std::string filled(std::string_view text, const TurningFacts& facts) {
  const std::string_view loop = facts.loop == Loop::chain  ? "chain"
                                : facts.loop == Loop::belt ? "belt"
                                                           : "chain or belt";
  const std::string_view links = facts.loop == Loop::chain  ? "links"
                                 : facts.loop == Loop::belt ? "teeth"
                                                            : "links or teeth";
  return fmt::format(fmt::runtime(text), fmt::arg("loop", loop), fmt::arg("links", links));
}

std::span<const Rule> rules() { return kRules; }

bool valves_closed(const TurningFacts& facts) {
  return facts.valves == ValvesNow::followers_out || facts.valves == ValvesNow::caps_loosened;
}

bool drive_must_be_intact(const TurningFacts& facts) {
  return facts.chain != OnOff::off && !valves_closed(facts);
}

}  // namespace tautmark::turning
