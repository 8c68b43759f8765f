// SPDX-License-Identifier: Apache-2.0
#include "procedure/beside.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "drive/compare.h"
#include "drive/drive_fields.h"
#include "procedure/beside_rows.h"

namespace tautmark::procedure {
namespace {

std::string number_text(const std::optional<int>& number) {
  return number ? std::to_string(*number) : "";
}
template <class T>
std::string typed(const std::optional<Written<T>>& value) {
  return value ? value->text : "";
}
std::string yes_no(const std::optional<bool>& value) { return !value ? "" : *value ? "yes" : "no"; }
template <class E>
std::string word(const std::optional<E>& value) {
  return value ? std::string(choice_name(*value)) : "";
}

template <class T>
std::string key_of(const T& item) {
  if constexpr (requires { item.bank; })
    return fmt::format("{} / {}", folded(item.name), item.bank.value_or(0));
  else
    return folded(item.name);
}

// Named things of all drives, each once, in the order in which they are met.
template <class T>
std::vector<const T*> all_of(std::span<const LoadedDrive* const> drives,
                             std::vector<T> Drive::*list) {
  std::vector<const T*> found;
  for (const LoadedDrive* drive : drives)
    for (const T& item : drive->drive.*list)
      if (std::none_of(found.begin(), found.end(),
                       [&](const T* known) { return key_of(*known) == key_of(item); }))
        found.push_back(&item);
  return found;
}

// One field of a named thing in each drive; `path` is the key below it that says where it stands.
struct FieldOf {
  std::string_view what{}, list{}, path{}, topic{};
};
template <class T>
void add_field(BesideRows& rows, const T& of, std::vector<T> Drive::*list, const FieldOf& field,
               const std::function<std::string(const T&)>& text_of) {
  std::string name = of.name;
  if constexpr (requires { of.bank; })
    if (of.bank && folded(name).find("bank") == std::string::npos)
      name += fmt::format(", bank {}", *of.bank);
  rows.add(fmt::format("{}: {}", name, field.what), [&](const LoadedDrive& drive, std::size_t) {
    const std::vector<T>& items = drive.drive.*list;
    const auto found = std::find_if(items.begin(), items.end(),
                                    [&](const T& item) { return key_of(item) == key_of(of); });
    if (found == items.end()) return BesideCell{};
    const std::string path =
        fmt::format("{}[{}].{}", field.list, found - items.begin(), field.path);
    return BesideCell{text_of(*found), is_unconfirmed(drive, field.topic, path)};
  });
}

template <class T>
std::vector<std::string> texts_of(const std::vector<T>& items,
                                  const std::function<std::string(const T&)>& text_of) {
  std::vector<std::string> texts;
  for (const T& item : items) texts.push_back(text_of(item));
  return texts;
}

void add_identification(BesideRows& rows) {
  rows.group("which engine it is");
  const auto add = [&](const char* what, const std::function<std::string(const Drive&)>& text) {
    rows.add(what,
             [&](const LoadedDrive& drive, std::size_t) { return BesideCell{text(drive.drive)}; });
  };
  add("title", [](const Drive& d) { return d.title.value_or(""); });
  add("revision", [](const Drive& d) { return d.revision.value_or(""); });
  add("checked by", [](const Drive& d) { return d.checked_by.value_or(""); });
  add("based on", [](const Drive& d) { return d.based_on.value_or(""); });
  add("told by", [](const Drive& d) { return joined(d.recognise, "; "); });
  add("covers", [](const Drive& d) {
    return d.covers ? d.covers->note.value_or(d.covers->serials.value_or("")) : "";
  });
}

std::string sprocket_marks(const Chain& chain) {
  return joined(texts_of<ChainMark>(chain.marks,
                                    [](const ChainMark& mark) {
                                      std::string text = mark.at + ":";
                                      if (mark.mark) text += " " + *mark.mark;
                                      if (mark.on) text += " on the " + word(mark.on);
                                      return text + (mark.clock ? " at " + mark.clock->text : "");
                                    }),
                "; ");
}

std::string counts(const Chain& chain) {
  return joined(texts_of<Strand>(chain.strands,
                                 [](const Strand& strand) {
                                   return fmt::format("{} to {} {}", strand.from, strand.to,
                                                      strand.links);
                                 }),
                "; ");
}

using OfChain = std::function<std::string(const Chain&)>;

void add_chain_field(BesideRows& rows, const Chain* chain, const FieldOf& field,
                     const OfChain& text_of) {
  add_field<Chain>(rows, *chain, &Drive::chains, field, text_of);
}

void add_chains(BesideRows& rows) {
  const std::vector<const Chain*> chains = all_of(rows.drives(), &Drive::chains);
  rows.group("marks");
  rows.add("crankshaft: mark", [](const LoadedDrive& drive, std::size_t) {
    const auto& crank = drive.drive.crankshaft;
    return BesideCell{crank ? crank->mark.value_or("") : "",
                      is_unconfirmed(drive, topic::kMarks, "crankshaft.mark")};
  });
  for (const Chain* chain : chains) {
    add_chain_field(rows, chain, {"marked links", "chains", "marks[0].links", topic::kMarks},
                    [](const Chain& c) {
                      const std::string text = marked_links_text(c);
                      return text == "-" ? "" : text;
                    });
    add_chain_field(rows, chain, {"sprocket marks", "chains", "marks[0].mark", topic::kMarks},
                    &sprocket_marks);
  }
  rows.group("link counts");
  for (const Chain* chain : chains) {
    add_chain_field(rows, chain, {"links all round", "chains", "links", topic::kChainLinks},
                    [](const Chain& c) { return number_text(c.links); });
    add_chain_field(rows, chain,
                    {"between marks", "chains", "strands[0].links", topic::kLinkCounts}, &counts);
    add_chain_field(rows, chain, {"pitch", "chains", "pitch", topic::kChainPitch},
                    [](const Chain& c) { return typed(c.pitch); });
  }
  rows.group("tensioner");
  const auto of_tensioner = [](auto text) {
    return [text](const Chain& c) { return c.tensioner ? text(*c.tensioner) : std::string(); };
  };
  for (const Chain* chain : chains) {
    add_chain_field(rows, chain,
                    {"tensioner stands", "chains", "tensioner.side", topic::kTensionerSide},
                    of_tensioner([](const Tensioner& t) { return t.side.value_or(""); }));
    add_chain_field(rows, chain, {"tensioner told by", "chains", "tensioner.recognise", {}},
                    of_tensioner([](const Tensioner& t) { return t.recognise.value_or(""); }));
    add_chain_field(rows, chain, {"stroke", "chains", "tensioner.stroke", {}},
                    of_tensioner([](const Tensioner& t) { return typed(t.stroke); }));
  }
  add_release_row(rows);
}

void add_fasteners(BesideRows& rows) {
  using Of = std::function<std::string(const Fastener&)>;
  struct Line {
    FieldOf field;
    Of text;
  };
  static const Line kLines[] = {
      {{"thread", "fasteners", "thread", {}},
       [](const Fastener& f) { return f.thread.value_or(""); }},
      {{"class", "fasteners", "class", {}},
       [](const Fastener& f) { return f.strength_class.value_or(""); }},
      {{"count", "fasteners", "count", {}}, [](const Fastener& f) { return number_text(f.count); }},
      {{"oiled or dry", "fasteners", "condition", {}},
       [](const Fastener& f) { return f.condition.value_or(""); }},
      {{"single use", "fasteners", "single_use", topic::kSingleUse},
       [](const Fastener& f) { return yes_no(f.single_use); }},
      {{"torque and angle", "fasteners", "steps", topic::kTorques},
       [](const Fastener& f) { return steps_text(f.steps); }},
      {{"order", "fasteners", "order", {}},
       [](const Fastener& f) {
         std::vector<std::string> numbers;
         for (const int bolt : f.order) numbers.push_back(std::to_string(bolt));
         return f.order.empty() ? word(f.pattern) : joined(numbers, ", ");
       }},
      {{"after an interruption", "fasteners", "restart", {}},
       [](const Fastener& f) { return f.restart.value_or(""); }},
  };
  rows.group("bolts and torques");
  for (const Fastener* fastener : all_of(rows.drives(), &Drive::fasteners))
    for (const Line& line : kLines)
      add_field<Fastener>(rows, *fastener, &Drive::fasteners, line.field, line.text);
}

void add_parts(BesideRows& rows) {
  rows.group("parts");
  for (const PartSet* set : all_of(rows.drives(), &Drive::parts)) {
    const auto add = [&](const FieldOf& field,
                         const std::function<std::string(const PartSet&)>& f) {
      add_field<PartSet>(rows, *set, &Drive::parts, field, f);
    };
    add({"holds", "parts", "holds", {}}, [](const PartSet& p) { return joined(p.holds, ", "); });
    add({"does not hold", "parts", "does_not_hold", {}},
        [](const PartSet& p) { return joined(p.does_not_hold, ", "); });
    add({"single use", "parts", "single_use", topic::kSingleUse},
        [](const PartSet& p) { return yes_no(p.single_use); });
    add({"edition", "parts", "edition", {}},
        [](const PartSet& p) { return p.edition.value_or(""); });
  }
}

}  // namespace

void BesideRows::add(std::string what, const CellOf& cell_of) {
  BesideRow row{group_, std::move(what), {}, true};
  bool is_said = false;
  for (std::size_t i = 0; i < drives_.size(); ++i) {
    row.cells.push_back(cell_of(*drives_[i], i));
    is_said = is_said || !row.cells.back().text.empty();
    row.is_same = row.is_same && row.cells.back().text == row.cells.front().text &&
                  !row.cells.back().is_unconfirmed;
  }
  if (!is_said) return;
  if (row.is_same) ++same_;
  if (!row.is_same || with_equal_) rows_.push_back(std::move(row));
}

std::vector<BesideRow> BesideRows::take(int& same) {
  same = same_;
  return std::move(rows_);
}

bool is_unconfirmed(const LoadedDrive& drive, std::string_view topic, const std::string& path) {
  return !topic.empty() && drive.unconfirmed.contains(std::string(topic)) &&
         drive.places.at(path).file != drive.places.at("name").file;
}

std::string steps_text(std::span<const TighteningStep> steps) {
  std::vector<std::string> texts;
  for (const TighteningStep& step : steps) {
    if (step.torque) texts.push_back(step.torque->text);
    if (step.angle) texts.push_back(step.angle->text);
  }
  return joined(texts, ", then ");
}

Beside beside(std::span<const LoadedDrive* const> drives, bool with_equal) {
  Beside out;
  for (const LoadedDrive* drive : drives) out.drives.push_back(&drive->drive);
  BesideRows rows(drives, with_equal);
  add_identification(rows);
  add_chains(rows);
  add_fasteners(rows);
  add_parts(rows);
  add_step_rows(rows);
  out.rows = rows.take(out.same);
  return out;
}

}  // namespace tautmark::procedure
