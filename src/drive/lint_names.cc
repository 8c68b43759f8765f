// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_names.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>

#include "base/text.h"

namespace tautmark {
namespace {

// Says when a name comes a second time; `key` is what must differ.
class Names {
 public:
  Names(LintReport& report, std::string_view what) : report_(report), what_(what) {}

  void add(const std::string& name, const std::string& key, const std::string& path) {
    if (name.empty()) return;
    const auto [first, is_new] = first_.emplace(key, path);
    if (!is_new)
      report_.error(path, fmt::format("{} \"{}\" stands here a second time", what_, name), {},
                    first->second, "the first one is here");
  }

 private:
  LintReport& report_;
  std::string_view what_;
  std::map<std::string, std::string> first_;
};

std::string bank_key(const std::optional<int>& bank, const std::string& name) {
  return fmt::format("{}/{}", bank.value_or(0), folded(name));
}

// A name that is one part of a place, as in "bank 1 / camshaft".
void check_part_of_place(LintReport& report, const std::string& name, const std::string& path) {
  if (name.find('/') != std::string::npos)
    report.error(path, fmt::format("\"{}\": a / separates the parts of a place", name),
                 "give a name without /");
  if (folded(name).starts_with("every "))
    report.error(path, fmt::format("\"{}\": \"every\" stands for all places of a kind", name),
                 "give a name that does not start with every");
}

void check_drive_name(LintReport& report) {
  const std::string& name = report.drive().name;
  if (name.empty()) return;
  if (!is_drive_name(name)) {
    report.error("name", fmt::format("\"{}\" cannot be the name of a drive file", name),
                 "letters, digits, - and _ only; the spoken name goes into title");
    return;
  }
  const std::string file =
      std::filesystem::path(report.loaded().places.at("name").file).filename().string();
  for (const std::string_view ending : {".drive.yaml", ".drive.json"})
    if (file.ends_with(ending) && file.substr(0, file.size() - ending.size()) != name)
      report.warning("name", fmt::format("the file is named {}, the drive {}", file, name),
                     fmt::format("rename the file to {}{}", name, ending));
}

void check_chain_parts(LintReport& report) {
  const Drive& drive = report.drive();
  for (std::size_t i = 0; i < drive.chains.size(); ++i) {
    const Chain& chain = drive.chains[i];
    const std::string path = fmt::format("chains[{}]", i);
    check_part_of_place(report, chain.name, path + ".name");
    Names guides(report, "guide");
    for (std::size_t g = 0; g < chain.guides.size(); ++g) {
      const std::string guide_path = fmt::format("{}.guides[{}].name", path, g);
      check_part_of_place(report, chain.guides[g].name, guide_path);
      guides.add(chain.guides[g].name, folded(chain.guides[g].name), guide_path);
      if (chain.tensioner && folded(chain.guides[g].name) == "tensioner")
        report.error(guide_path, "the tensioner of this chain has this name already", {},
                     path + ".tensioner", "the tensioner is here");
    }
  }
  Names idlers(report, "idler");
  for (std::size_t i = 0; i < drive.idlers.size(); ++i) {
    const Idler& idler = drive.idlers[i];
    const std::string path = fmt::format("idlers[{}]", i);
    idlers.add(idler.name, folded(idler.name), path + ".name");
    if (!idler.drives.empty() && folded(idler.drives) == folded(idler.driven_by))
      report.error(path + ".drives", "a chain cannot drive itself through an idler", {},
                   path + ".driven_by", "the same chain is here");
  }
}

void check_crank_sprockets(LintReport& report) {
  if (!report.drive().crankshaft) return;
  const auto& sprockets = report.drive().crankshaft->sprockets;
  Names chains(report, "a sprocket for");
  for (std::size_t i = 0; i < sprockets.size(); ++i) {
    const std::string path = fmt::format("crankshaft.sprockets[{}]", i);
    if (sprockets[i].chain)
      chains.add(*sprockets[i].chain, folded(*sprockets[i].chain), path + ".chain");
    else if (sprockets.size() > 1)
      report.error(path, "which chain runs on this sprocket?", "chain: name of the chain");
  }
}

void check_bank_parts(LintReport& report) {
  const Drive& drive = report.drive();
  for (std::size_t b = 0; b < drive.banks.size(); ++b)
    for (std::size_t c = 0; c < drive.banks[b].camshafts.size(); ++c)
      check_part_of_place(report, drive.banks[b].camshafts[c].name,
                          fmt::format("banks[{}].camshafts[{}].name", b, c));
  if (!drive.oil) return;
  Names ports(report, "port");
  for (std::size_t i = 0; i < drive.oil->ports.size(); ++i) {
    const OilPort& port = drive.oil->ports[i];
    const std::string path = fmt::format("oil.ports[{}].name", i);
    check_part_of_place(report, port.name, path);
    ports.add(port.name, bank_key(port.bank, port.name), path);
  }
}

// What nobody can order or decide on changes nothing with it.
void check_goes_with(LintReport& report, const PartSet& part, const std::string& path) {
  std::vector<std::string> known;
  for (const PartSet& one : report.drive().parts) {
    known.push_back(one.name);
    known.insert(known.end(), one.holds.begin(), one.holds.end());
  }
  for (std::size_t i = 0; i < part.goes_with.size(); ++i) {
    const auto is = [&](const std::string& one) {
      return folded(one) == folded(part.goes_with[i]);
    };
    if (std::any_of(known.begin(), known.end(), is)) continue;
    const auto near = nearest(part.goes_with[i], known);
    report.warning(fmt::format("{}.goes_with[{}]", path, i),
                   fmt::format("no part \"{}\" in this drive", part.goes_with[i]),
                   near ? fmt::format("did you mean \"{}\"?", *near) : "list it under parts");
  }
}

void check_parts(LintReport& report) {
  const Drive& drive = report.drive();
  Names fasteners(report, "fastener");
  for (std::size_t i = 0; i < drive.fasteners.size(); ++i)
    fasteners.add(drive.fasteners[i].name, folded(drive.fasteners[i].name),
                  fmt::format("fasteners[{}].name", i));
  Names parts(report, "part");
  for (std::size_t i = 0; i < drive.parts.size(); ++i) {
    const PartSet& part = drive.parts[i];
    const std::string path = fmt::format("parts[{}]", i);
    parts.add(part.name, bank_key(part.bank, part.name), path + ".name");
    std::map<std::string, std::size_t> held;
    for (std::size_t h = 0; h < part.holds.size(); ++h) held.emplace(folded(part.holds[h]), h);
    for (std::size_t n = 0; n < part.does_not_hold.size(); ++n) {
      const auto found = held.find(folded(part.does_not_hold[n]));
      if (found != held.end())
        report.error(
            fmt::format("{}.does_not_hold[{}]", path, n),
            fmt::format("\"{}\" is said to be in it and not to be in it", part.does_not_hold[n]),
            {}, fmt::format("{}.holds[{}]", path, found->second), "it is held here");
    }
    check_goes_with(report, part, path);
  }
}

}  // namespace

void check_names(LintReport& report) {
  check_drive_name(report);
  check_chain_parts(report);
  check_crank_sprockets(report);
  check_bank_parts(report);
  check_parts(report);
}

}  // namespace tautmark
