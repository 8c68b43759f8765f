// SPDX-License-Identifier: Apache-2.0
// How one cam's phaser behaves in a recording: named states, each with what was seen, what it was
// judged by and what would tell more.
//
// Crank degrees, advance positive, retard negative; s; 1/min. A limit of the program's own, or of
// common practice, never carries a pass. Times of the command are those of the log plus the offset
// of the clocks; a command came up to one period of the log before the row that first shows it.
//
//   steady, unstable, hunting, chatter, drift   in the quiet stretch: the longest in which the
//              speed keeps within 20 %, the command does not change and the cam makes no motion
//   unstable   jitter over its limit (1.0 degrees), sd over a given one. The chance is that of a
//              scatter so large, were the true one at the limit: χ², for the jitter with 2/3 of the
//              degrees of freedom (efficiency of successive differences, von Neumann 1941, from
//              memory)
//   hunting    a narrow peak (find_hunting) that explains half of the scatter and goes on through
//              both halves
//   drift      slope of the means of eight blocks: slow wander widens its error
//   jump       stays, with one mixed cycle between at most, faster than 60 degrees/s, and whole
//   teeth
//              where their number is known. What returns within the travel, or takes longer, moves
//   off-base   cannot be told from whole teeth, nor outside the travel
//   stuck      the phase answers under 20 % of a command of 4 degrees or more, two standard
//              uncertainties included
// Source of the limits without origin: signals.md sections 7 and 8; slow: this program.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/finding.h"
#include "recording/cam_phase.h"
#include "recording/command_log.h"
#include "recording/phase_motion.h"
#include "recording/phase_statistics.h"

namespace tautmark {

// A phaser under this is slow, where no limit is given: crank deg/s.
inline constexpr double kLeastSlew = 20;

struct BehaviourLimit {
  double value = 0;
  Origin origin = Origin::program_default;
  std::string source{};
};

struct PhaserInput {
  std::string cam{};  // "bank 1 intake"
  CamPhase phase{};
  bool has_reference = false;        // ψ is against a known-good edge with the phaser at its base
  double reference_tolerance = 0.5;  // standard, of that edge
  const CommandLog* command = nullptr;
  ClockOffset clock{};
  double base_command = 0;    // commanded angle at which the phaser is at its base
  bool told_at_base = false;  // no log, but the caller knows that it was not commanded
  std::optional<double> travel_from{}, travel_to{};  // from the base
  int cam_teeth = 0;                                 // of the sprocket; 0: not known
  std::optional<BehaviourLimit> jitter{}, sd{}, peak_to_peak{}, off_base{};  // degrees, at most
  std::optional<BehaviourLimit> slew{};                                      // deg/s, at least
  std::optional<BehaviourLimit> time_90{};                                   // s, at most
  double band = 1.5;  // degrees, of the settling time
};

enum class PhaserState {
  too_few,
  steady,
  unstable,
  hunting,
  chatter,
  slow,
  stuck,
  off_base,
  moves,
  drift,
  jump
};
std::string_view phaser_state_name(PhaserState state);  // "off-base"
enum class Seen { seen, not_seen, cannot_tell };

struct PhaserFinding {
  PhaserState state{};
  Seen seen = Seen::cannot_tell;
  double value = 0, uncertainty = 0;  // the number that decides, standard uncertainty
  std::string unit{};                 // "°", "°/s", "s", "cycles"
  std::optional<double> chance{};     // significance as said above; none where none is honest
  std::string words{};                // what was seen
  std::string judged_by{};            // the limit and its origin
  std::string next{};                 // what would tell more; empty: nothing
  bool can_pass = false;              // not seen, by a limit whose origin carries a pass
};

struct CommandResponse {
  CommandStep step;                        // time on the recording's clock
  double way = 0;                          // mean of the last 30 % less mean before
  double way_uncertainty = 0;              // standard
  std::optional<StepResponse> response{};  // none: fewer than 8 cycles before the next command
  double time_uncertainty = 0;  // s, of dead time and t_90: clocks, row of the log, cycle
};

// Under 20 % of the command, two standard uncertainties included.
bool is_stuck(const CommandResponse& response);

struct PhaserBehaviour {
  std::vector<PhaserFinding> findings;  // what was seen first; every state that was looked at
  PhaseStatistics quiet;                // of the quiet stretch
  double quiet_from = 0, quiet_to = 0;  // s
  double quiet_per_minute = 0;
  std::vector<PhaseMotion> motions;
  std::vector<CommandResponse> responses;
  std::optional<Hunting> hunting;  // looked for
  TwoLevels levels;
  std::vector<std::string> notes;
};
PhaserBehaviour phaser_behaviour(const PhaserInput& in);
// Empty: that state was not looked at.
const PhaserFinding* finding_of(const PhaserBehaviour& behaviour, PhaserState state);

}  // namespace tautmark
