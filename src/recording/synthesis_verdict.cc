// SPDX-License-Identifier: Apache-2.0
#include "recording/synthesis_verdict.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/text.h"
#include "recording/hypotheses.h"

namespace tautmark {
namespace {

// A phaser is called slow under this part of its rated speed; an own choice, for exercises only.
constexpr double kSlowPart = 0.5;

std::string teeth_words(int teeth) {
  return fmt::format("{} {}", halves_text(2 * std::abs(teeth), "tooth", "teeth"),
                     teeth < 0 ? "late" : "early");
}

class Faults {
 public:
  Faults(const SynthesisPlan& plan, ExpectedVerdict& verdict) : plan_(plan), verdict_(verdict) {
    for (const SpeedPiece& piece : plan.engine.speed) end_ += piece.duration;
  }

  void of_cam(std::size_t index) {
    const CamText& text = plan_.spec.cams[index];
    const SynthCam& cam = plan_.engine.cams[index];
    for (const SynthJump& jump : cam.jumps) {
      if (jump.time >= end_) continue;
      const double degrees = jump.teeth * tooth_in_crank_degrees(cam.teeth);
      const std::string when =
          jump.time > 0 ? fmt::format(" from {:g} s on", jump.time) : std::string();
      add({"jump", text.name, jump.teeth, degrees, jump.time, end_,
           fmt::format("{} {}{}: {}", text.name, teeth_words(jump.teeth), when,
                       phase_words(degrees))});
    }
    const double wear = cam.elongation + cam.elongation_rate * end_;
    if (wear > 0)
      add({"elongation", text.name, 0, -wear, 0, end_,
           fmt::format("{} {} by elongation", text.name, phase_words(-wear))});
    if (text.slip) {
      const double degrees = own_slip(*text.slip);
      if (degrees != 0)
        add({"wheel slipped", text.name, 0, degrees, 0, end_,
             fmt::format("{} sensor wheel seems {}", text.name, phase_words(degrees))});
    }
    of_phaser(text, cam);
    if (cam.inverted)
      add({"inverted", text.name, 0, 0, 0, end_,
           fmt::format("{} high and low exchanged", text.name)});
  }

  void of_crank() {
    const CrankText& crank = plan_.spec.crank;
    const SynthFaults& faults = plan_.engine.faults;
    if (crank.slip && own_slip(*crank.slip) != 0)
      add({"crank wheel slipped", "crank", 0, own_slip(*crank.slip), 0, end_,
           fmt::format("every camshaft seems {}: the crank's sensor wheel",
                       phase_words(own_slip(*crank.slip)))});
    for (const int tooth : faults.dead_teeth)
      add({"dead tooth", "crank", 0, 0, 0, end_,
           fmt::format("tooth {} of the crank's sensor wheel is never seen", tooth + 1)});
    if (faults.inverted) add({"inverted", "crank", 0, 0, 0, end_, "crank high and low exchanged"});
    chance("dropped", faults.dropped, "pulses are missing");
    chance("extra", faults.extra, "pulses are too many");
    chance("doubled", faults.doubled, "edges bounce");
  }

 private:
  static double own_slip(const ShiftText& slip) {
    return (slip.way == Way::late ? -1 : 1) * in_crank_deg(slip.angle.value);
  }

  void add(PlantedFault fault) { verdict_.faults.push_back(std::move(fault)); }

  void chance(const char* what, double part, const char* words) {
    if (part > 0) add({what, "", 0, 0, 0, end_, fmt::format("{:g} % {}", 100 * part, words)});
  }

  void of_phaser(const CamText& text, const SynthCam& cam) {
    const SynthPhaser& phaser = cam.phaser;
    if (!phaser.commands.empty() && phaser.stuck_until > phaser.stuck_from &&
        phaser.stuck_from < end_)
      add({"phaser stuck", text.name, 0, 0, phaser.stuck_from, std::min(end_, phaser.stuck_until),
           fmt::format("{} phaser stands still from {:g} s to {:g} s, whatever is commanded",
                       text.name, phaser.stuck_from, std::min(end_, phaser.stuck_until))});
    if (text.phaser && text.phaser->rated_slew_per_second) {
      const double rated = in_crank_deg(text.phaser->rated_slew_per_second->value);
      if (phaser.slew < kSlowPart * rated)
        add({"phaser slow", text.name, 0, 0, 0, end_,
             fmt::format("{} phaser slow: at most {:g} of {:g} crank degrees in a second",
                         text.name, phaser.slew, rated)});
    }
    if (cam.hunting > 0)
      add({"phaser hunting", text.name, 0, cam.hunting, 0, end_,
           fmt::format(
               "{} phaser hunts: {:g}° (crank), {:g}° cam to each side, {:g} times a second",
               text.name, cam.hunting, cam.hunting / 2, cam.hunting_frequency)});
    if (cam.chatter > 0 && cam.chatter_chance > 0)
      add({"lock pin chatter", text.name, 0, cam.chatter, 0, end_,
           fmt::format("{} lock pin chatters: {:g}° (crank), {:g}° cam early when loose", text.name,
                       cam.chatter, cam.chatter / 2)});
  }

  const SynthesisPlan& plan_;
  ExpectedVerdict& verdict_;
  double end_ = 0;
};

std::string meaning_of(const std::vector<PlantedFault>& faults) {
  const auto any = [&](auto... names) {
    return std::any_of(faults.begin(), faults.end(),
                       [&](const PlantedFault& fault) { return ((fault.what == names) || ...); });
  };
  const bool jump = any("jump"), wear = any("elongation");
  const bool slipped = any("wheel slipped"), crank = any("crank wheel slipped");
  const bool phaser = any("phaser stuck", "phaser slow", "phaser hunting", "lock pin chatter");
  const int families = (jump || wear) + slipped + crank + phaser;
  if (families > 1) return "several";
  if (jump) return wear ? "jump and elongation" : "jump";
  if (wear) return "elongation";
  if (slipped) return "slipped";
  if (crank) return "crank reference";
  if (phaser) return "phaser";
  return faults.empty() ? "right" : "sensor";
}

}  // namespace

ExpectedVerdict expected_verdict(const SynthesisPlan& plan) {
  ExpectedVerdict verdict;
  Faults faults(plan, verdict);
  for (std::size_t i = 0; i < plan.spec.cams.size(); ++i) faults.of_cam(i);
  faults.of_crank();
  verdict.meaning = meaning_of(verdict.faults);
  std::vector<std::string> sentences;
  for (const PlantedFault& fault : verdict.faults) sentences.push_back(fault.says);
  verdict.says = sentences.empty() ? "nothing wrong was put in" : joined(sentences, "; ");
  return verdict;
}

}  // namespace tautmark
