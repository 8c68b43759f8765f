// SPDX-License-Identifier: Apache-2.0
#include "report/html_steps.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "drive/places.h"
#include "judge/tightening.h"
#include "procedure/lint.h"
#include "report/html_parts.h"
#include "report/html_sections.h"

namespace tautmark::html {
namespace {

using procedure::Blocked;
using procedure::StepAt;
using procedure::StepStatus;

std::string labeled(std::string_view style, std::string_view label, std::string_view text) {
  return tag(style, said("b", label) + " " + escaped(text));
}

std::string hand_line(std::string_view label) { return tag("p.hand-line", said("small", label)); }

// --- bolts ------------------------------------------------------------------------------------

std::string typed_figures(std::span<const TighteningStep> steps) {
  std::vector<std::string> figures;
  for (const TighteningStep& step : steps) {
    if (step.torque) figures.push_back(step.torque->text);
    if (step.angle) figures.push_back(step.angle->text);
  }
  return joined(figures, ", then ");
}

std::string wrench_lines(const FastenerCard& card) {
  std::string out;
  for (std::size_t i = 0; i < card.steps.size(); ++i) {
    const TighteningStep& step = card.fastener->steps[i];
    if (!step.torque) continue;
    const StepCard& one = card.steps[i];
    const std::string set = torque_spelled(*step.torque);
    out += one.wrench.empty()
               ? tag("p.work-wrench",
                     said("b", fmt::format("{}. wrench", i + 1)) + said("u", "") +
                         escaped(fmt::format("set to {}, in the unit on its scale", set)))
               : labeled("p.work-wrench", fmt::format("{}. {}", i + 1, one.wrench),
                         fmt::format("set to {}, in the unit on its scale", set));
  }
  return out;
}

// No figure where two places disagree or where it cannot be meant: only what was typed, to be
// asked about.
std::string bolt_block(const Drive& drive, const ProcedureStep& step, const Tightens& tightens,
                       std::span<const tighten::Wrench> wrenches) {
  const Fastener* fastener = fastener_named(drive, tightens.fastener, step.bank);
  const std::string typed = fmt::format("{}: {}", tightens.fastener, typed_figures(tightens.steps));
  if (fastener == nullptr)
    return labeled("p.work-caution", "check",
                   typed + "; the definition has no fastener of this name");
  const FastenerCard card = fastener_card(*fastener, wrenches);
  std::string asks;
  bool to_check = !procedure::figures_agree(tightens.steps, fastener->steps);
  if (to_check)
    asks += labeled("p.work-caution", "check",
                    fmt::format("{}; the fastener itself has {}. Ask which holds before anybody "
                                "turns it",
                                typed, typed_figures(fastener->steps)));
  for (const StepCard& one : card.steps) to_check = to_check || one.to_check;
  for (const std::string& ask : card.asks) asks += labeled("p.work-caution", "ask first", ask);
  std::string rest;
  for (const std::string& caution : card.cautions)
    if (!fastener->note || caution != *fastener->note)
      rest += labeled("p.work-caution", "caution", caution);
  if (to_check) return tag("div.work-bolts", said("b", typed) + asks + rest);
  const Fastener* const one[] = {fastener};
  std::string order;
  if (!card.order.empty()) order = order_drawing(*fastener) + said("p.note", card.order);
  return tag("div.work-bolts", asks + fastener_table(one) + wrench_lines(card) + order + rest);
}

// --- what must hold before, and boxes ---------------------------------------------------------

std::string before_lines(const ProcedureView& view, const procedure::Step& step) {
  std::vector<std::string> own, by_rule, why;
  // Of an engine of which nothing is known every condition is missing.
  for (const Blocked& one : procedure::blocked(view.plan, step, {})) {
    (one.by_rule ? by_rule : own).push_back(procedure::fact_text(one.missing));
    const std::string said_so =
        fmt::format("{}{}", one.why, one.may_override ? "" : " (no override)");
    if (one.by_rule && std::find(why.begin(), why.end(), said_so) == why.end())
      why.push_back(said_so);
  }
  std::string out;
  if (!own.empty()) out += labeled("p.work-before", "only with", joined(own, ", "));
  if (!by_rule.empty())
    out += labeled("p.work-before", "by rule, only with",
                   fmt::format("{}: {}", joined(by_rule, ", "), joined(why, "; ")));
  return out;
}

std::string gate_boxes(const std::optional<GateWants>& gate) {
  if (!gate) return {};
  std::string out = labeled("p.gate-name", "gate", choice_name(*gate));
  switch (*gate) {
    case GateWants::tick:
      return out + tag("span.tick", tick_box() + "seen, nothing left open");
    case GateWants::reading:
      return out + hand_line("reading, with its unit") + hand_line("again");
    case GateWants::photo:
      return out + hand_line("photo number");
    case GateWants::second_name:
      return out + hand_line("second person, who looked");
  }
  return out;
}

std::string standing(const StepAt& at) {
  if (at.status == StepStatus::to_do) return {};
  std::string out =
      labeled("p", procedure::status_text(at.status), at.entry + (at.late ? ", entered late" : ""));
  if (!at.gate_open.empty()) out += labeled("p.strong", "gate open", at.gate_open);
  return out;
}

std::string boxes(const ProcedureView& view, std::size_t step) {
  const StepAt at = view.walk ? view.walk->steps[step] : StepAt{};
  const bool is_done = at.status == StepStatus::done || at.status == StepStatus::overridden;
  return tag(
      "div.work-boxes",
      tag("span.tick", tick_box(is_done) + "done") + standing(at) +
          (is_done ? "" : hand_line("initials, time")) +
          (is_done && at.gate_open.empty() ? "" : gate_boxes(view.plan.steps[step].written->gate)));
}

std::string fit_ticks(const ProcedureStep& step) {
  std::string out;
  for (const std::string& part : step.fits) out += tag("span.tick", tick_box() + escaped(part));
  return out.empty() ? out : tag("p.work-fits", said("b", "fit") + " " + out);
}

}  // namespace

std::string step_block(const ProcedureView& view, std::size_t number,
                       std::span<const tighten::Wrench> wrenches) {
  const procedure::Step& step = view.plan.steps[number];
  const ProcedureStep& written = *step.written;
  std::string name = escaped(written.name);
  if (written.bank) name += " " + said("small", fmt::format("bank {}", *written.bank));
  std::string body = tag("h3", tag("span", name));
  for (const std::string& caution : written.cautions)
    body += labeled("p.work-caution", "caution", caution);
  if (written.turns)
    body += labeled("p.work-caution", "DO NOT TURN",
                    "unless the program's turning answer of this case allows it at that moment");
  body += said("p.work-what", trimmed(written.what)) + before_lines(view, step);
  for (const Tightens& tightens : written.tightens)
    body += bolt_block(view.drive.drive, written, tightens, wrenches);
  body += fit_ticks(written);
  if (written.within) body += labeled("p.work-before", "within", written.within->text);
  if (!written.gives.empty())
    body += labeled("p.work-before", "after it", joined(written.gives, ", "));
  if (written.why) body += labeled("p.work-before", "why", *written.why);
  return tag("div.work-step", said("b.work-number", std::to_string(number + 1)) +
                                  tag("div.work-body", body) + boxes(view, number)) +
         "\n";
}

}  // namespace tautmark::html
