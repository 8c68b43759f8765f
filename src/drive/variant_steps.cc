// SPDX-License-Identifier: Apache-2.0
#include "drive/variant_steps.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "drive/lint_report.h"

namespace tautmark {
namespace {

std::string folded_text(const Node& step, std::string_view key) {
  const Node* found = step.find(key);
  return found != nullptr && found->shape == NodeShape::scalar ? folded(found->text) : "";
}

auto step_named(std::vector<Node>& steps, const std::string& name) {
  return std::find_if(steps.begin(), steps.end(), [&](const Node& step) {
    return !name.empty() && folded_text(step, "name") == name;
  });
}

void take_out(Node& step, std::string_view key) {
  std::erase_if(step.members, [&](const Member& member) { return member.key.text == key; });
}

bool goes(const Node& step) {
  const std::string wanted = folded_text(step, "remove");
  return wanted == "true" || wanted == "yes";
}

// Behind `anchor` and behind those that were put there before.
void move_behind(std::vector<Node>& steps, const std::string& name, const std::string& anchor,
                 const std::vector<std::string>& there) {
  const auto from = step_named(steps, name);
  Node step = std::move(*from);
  steps.erase(from);
  take_out(step, "after");
  auto to = step_named(steps, anchor) + 1;
  while (to != steps.end() &&
         std::find(there.begin(), there.end(), folded_text(*to, "name")) != there.end())
    ++to;
  steps.insert(to, std::move(step));
}

void place(std::vector<Node>& steps, const std::vector<Node>& of_variant) {
  std::map<std::string, std::vector<std::string>> put_behind;
  for (const Node& asked : of_variant) {
    const std::string name = folded_text(asked, "name"), anchor = folded_text(asked, "after");
    if (anchor.empty() || anchor == name || step_named(steps, name) == steps.end() ||
        step_named(steps, anchor) == steps.end())
      continue;
    move_behind(steps, name, anchor, put_behind[anchor]);
    put_behind[anchor].push_back(name);
  }
}

}  // namespace

Node with_placed_steps(Node merged, const Node& base, const Node& variant) {
  const Node* of_variant = variant.find("procedure");
  if (of_variant == nullptr || of_variant->shape != NodeShape::list) return merged;
  const Node* before = base.find("procedure");
  std::vector<Node> of_base = before != nullptr ? before->items : std::vector<Node>{};
  for (Member& member : merged.members) {
    if (member.key.text != "procedure" || member.value.shape != NodeShape::list) continue;
    std::vector<Node>& steps = member.value.items;
    place(steps, of_variant->items);
    // One that no base has stays, to be reported.
    std::erase_if(steps, [&](const Node& step) {
      return goes(step) && step_named(of_base, folded_text(step, "name")) != of_base.end();
    });
  }
  return merged;
}

void check_placed_steps(const LoadedDrive& loaded, Diagnostics& out) {
  LintReport report(loaded);
  std::vector<std::string> names;
  for (const ProcedureStep& step : loaded.drive.procedure) names.push_back(step.name);
  const auto hint = [&](const std::string& wanted) {
    const auto near = nearest(wanted, names);
    if (near && folded(*near) != folded(wanted)) return fmt::format("did you mean \"{}\"?", *near);
    return std::string("these keys change the procedure of the base that based_on names");
  };
  for (std::size_t i = 0; i < loaded.drive.procedure.size(); ++i) {
    const ProcedureStep& step = loaded.drive.procedure[i];
    const auto key = [&](std::string_view field) {
      return fmt::format("procedure[{}].{}", i, field);
    };
    if (step.remove && *step.remove)
      report.error(key("remove"), fmt::format("no base has a step \"{}\" to be removed", step.name),
                   hint(step.name));
    else if (step.after)
      report.error(key("after"),
                   fmt::format("there is no step \"{}\" to stand behind", *step.after),
                   hint(*step.after));
    else if (step.what.empty())
      report.error(fmt::format("procedure[{}]", i),
                   fmt::format("\"what\" is missing in \"{}\": what is done", step.name),
                   "what: Cam covers off, bolts bagged by position.");
  }
  for (Diagnostic& found : report.take()) add_diagnostic(out, std::move(found));
}

}  // namespace tautmark
