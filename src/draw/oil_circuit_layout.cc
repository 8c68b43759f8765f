// SPDX-License-Identifier: Apache-2.0
// Blocks of an oil circuit on a sheet of a given width: of all ways to stand side by side and under
// each other the lowest that fits.
#include <algorithm>
#include <cmath>
#include <map>

#include "draw/oil_circuit_parts.h"

namespace tautmark::draw {
namespace {

constexpr double kLeastWay = 84, kUnderLabel = 12, kLeastEnd = 96, kOverflow = 50, kMerged = 300,
                 kApart = 12;
constexpr std::size_t kMostAbreast = 8;

using BlockPtr = std::shared_ptr<const CircuitBlock>;

double columns_width(const std::vector<CircuitColumn>& columns) {
  return kColumnWidth * static_cast<double>(columns.size());
}

double label_height(const std::vector<CircuitColumn>& columns) {
  double height = 0;
  for (const CircuitColumn& column : columns) height = std::max(height, column.label_height);
  return height;
}

struct Group {  // places of one bank, or one place of none
  std::string bank;
  std::vector<int> nodes;
};

class Layouter {
 public:
  Layouter(const CircuitDrawing& circuit, const CircuitTree& tree)
      : circuit_(circuit), tree_(tree) {}

  CircuitItem hung(int node, const std::string& bank_around, double width) {
    const std::pair key{node, std::lround(width / 4)};
    const auto known = known_.find(key);
    if (known != known_.end()) return known->second;
    const CircuitItem item = made(node, bank_around, width);
    known_.emplace(key, item);
    return item;
  }

 private:
  CircuitItem made(int node, const std::string& bank_around, double width) {
    const std::string own = bank_around.empty() ? bank_of(node_name(circuit_, node)) : bank_around;
    CircuitItem item;
    item.bank = bank_around.empty() ? own : "";
    const double inner = item.bank.empty() ? width : width - 2 * kPanelApart;
    item.columns = columns_of(circuit_, above(node), tree_.feeds[node], own);
    const auto most = static_cast<std::size_t>(std::max(inner / kColumnWidth, 1.0));
    while (item.columns.size() > most) {
      CircuitColumn& into = item.columns[item.columns.size() - 2];
      const CircuitColumn& last = item.columns.back();
      into.ways.insert(into.ways.end(), last.ways.begin(), last.ways.end());
      into.flow += last.flow;
      item.columns.pop_back();
      item.penalty += kMerged;
      add_label(circuit_, own, into);
    }
    for (CircuitColumn& column : item.columns) column.end = CircuitColumn::End::place;
    item.below = block(node, own, inner - kApart, item.columns.size());
    item.penalty += item.below->penalty;
    if (!item.columns.empty())
      item.way_height = std::max(kLeastWay, label_height(item.columns) + kUnderLabel);
    finish(item);
    return item;
  }

  // Its feeds count from the place above on; those of a root come from the sump.
  [[nodiscard]] int above(int node) const {
    for (std::size_t i = 0; i < tree_.children.size(); ++i) {
      const auto& children = tree_.children[i];
      if (std::find(children.begin(), children.end(), node) != children.end())
        return static_cast<int>(i);
    }
    return kDrawnSump;
  }

  static void finish(CircuitItem& item) {
    const bool has_panel = !item.bank.empty();
    item.width = std::max(columns_width(item.columns), item.below ? item.below->width + kApart : 0);
    if (has_panel) {
      item.way_height += kBankHeading;
      item.width += 2 * kPanelApart;
    }
    item.height = item.way_height + (item.below ? item.below->height : 0);
    if (has_panel) item.height += kPanelApart;
  }

  std::vector<CircuitItem> ends_of(int node, const std::string& bank) {
    std::vector<CircuitColumn> columns = columns_of(circuit_, node, tree_.drains[node], bank);
    for (const CircuitTree::Link& link : tree_.links[node]) {
      CircuitColumn column{.ways = {link.way},
                           .kind = circuit_.ways[link.way].kind,
                           .flow = flow_from(circuit_.ways[link.way], node),
                           .end = CircuitColumn::End::tag,
                           .letter = link.letter};
      add_label(circuit_, bank, column);
      columns.push_back(column);
    }
    std::vector<CircuitItem> items;
    for (const CircuitColumn& column : columns) {
      CircuitItem item;
      item.columns = {column};
      item.way_height = std::max(kLeastEnd, column.label_height + kUnderLabel);
      finish(item);
      items.push_back(item);
    }
    return items;
  }

  BlockPtr block(int node, const std::string& bank, double width, std::size_t feeds) {
    CircuitBlock block = best(node, bank, std::max(width, kColumnWidth));
    block.plate = plate_of(circuit_, node, bank);
    // Every way from above ends on the plate.
    if (feeds > 1)
      block.plate.width = std::max(
          block.plate.width, kColumnWidth * (static_cast<double>(feeds) - 1) + 2 * kColumnLine);
    block.width = std::max(block.width, block.plate.width);
    block.height += block.plate.height;
    return std::make_shared<const CircuitBlock>(std::move(block));
  }

  // The block without its plate.
  CircuitBlock best(int node, const std::string& bank, double width) {
    std::vector<Group> groups;
    std::vector<int> plain;
    for (const int child : tree_.children[node]) {
      const std::string own = bank.empty() ? bank_of(node_name(circuit_, child)) : "";
      const auto same =
          std::find_if(groups.begin(), groups.end(), [&](const Group& g) { return g.bank == own; });
      if (own.empty())
        plain.push_back(child);
      else if (same != groups.end())
        same->nodes.push_back(child);
      else
        groups.push_back({own, {child}});
    }
    std::sort(groups.begin(), groups.end(),
              [](const Group& a, const Group& b) { return a.bank < b.bank; });
    const std::vector<CircuitItem> ends = ends_of(node, bank);
    CircuitBlock found;
    double least = HUGE_VAL;
    const std::size_t most = std::clamp<std::size_t>(plain.size() + groups.size(), 1, kMostAbreast);
    for (std::size_t abreast = 1; abreast <= most; ++abreast)
      for (const bool is_mixed : {true, false}) {
        CircuitBlock tried = shelved(node, ends, plain, groups, bank, width, abreast, is_mixed);
        const double score =
            tried.height + tried.penalty + kOverflow * std::max(tried.width - width, 0.0);
        if (score >= least) continue;
        least = score;
        found = std::move(tried);
      }
    return found;
  }

  // With `is_mixed` the first children stand beside the ends, else under them.
  CircuitBlock shelved(int node, const std::vector<CircuitItem>& ends,
                       const std::vector<int>& plain, const std::vector<Group>& groups,
                       const std::string& bank, double width, std::size_t abreast, bool is_mixed) {
    const bool has_more = !plain.empty() || !groups.empty();
    std::vector<std::vector<CircuitItem>> shelves(1);
    const auto used = [&] {
      double sum = 0;
      for (const CircuitItem& item : shelves.back()) sum += item.width;
      return sum;
    };
    const auto put = [&](CircuitItem item, double limit) {
      if (!shelves.back().empty() && used() + item.width > limit) shelves.emplace_back();
      shelves.back().push_back(std::move(item));
    };
    double ends_width = 0;
    for (const CircuitItem& end : ends) ends_width += end.width;
    const double limit = ends_width > width || has_more ? width - kTrunk : width;
    for (const CircuitItem& end : ends) put(end, is_mixed ? width : limit);
    const auto children = plain.size() + groups.size();
    const bool are_all = abreast == children;
    const double room = (are_all ? width : width - kTrunk) - (is_mixed ? used() : 0);
    const double share = room / static_cast<double>(abreast);
    if (!is_mixed && has_more && !shelves.back().empty()) shelves.emplace_back();
    for (const int child : plain) put(hung(child, bank, share), are_all ? width : width - kTrunk);
    for (const Group& group : groups) put(hung_group(node, group, share), width);
    return placed(node, std::move(shelves));
  }

  CircuitItem hung_group(int node, const Group& group, double width) {
    if (group.nodes.size() == 1) return hung(group.nodes.front(), "", width);
    const double inner = width - 2 * kPanelApart;
    CircuitBlock block;
    double least = HUGE_VAL;
    for (std::size_t abreast = 1; abreast <= std::min(group.nodes.size(), kMostAbreast);
         ++abreast) {
      CircuitBlock tried = shelved(node, {}, group.nodes, {}, group.bank, inner, abreast, false);
      const double score =
          tried.height + tried.penalty + kOverflow * std::max(tried.width - inner, 0.0);
      if (score >= least) continue;
      least = score;
      block = std::move(tried);
    }
    block.has_plate = false;
    CircuitItem item;
    item.bank = group.bank;
    item.below = std::make_shared<const CircuitBlock>(std::move(block));
    finish(item);
    return item;
  }

  static CircuitBlock placed(int node, std::vector<std::vector<CircuitItem>> shelves) {
    CircuitBlock block{.node = node};
    if (shelves.back().empty()) shelves.pop_back();
    for (std::size_t i = 0; i < shelves.size(); ++i) {
      CircuitShelf shelf{.items = std::move(shelves[i])};
      double x = i + 1 < shelves.size() ? kTrunk : 0;
      double panels = 0;  // side by side they are alike in height
      for (const CircuitItem& item : shelf.items) {
        shelf.height = std::max(shelf.height, item.height);
        if (!item.bank.empty()) panels = std::max(panels, item.height);
        block.penalty += item.penalty;
      }
      for (CircuitItem& item : shelf.items) {
        if (!item.bank.empty()) item.height = panels;
        item.x = x;
        x += item.width;
      }
      block.width = std::max(block.width, x);
      block.height += kCircuitRail + shelf.height + (i > 0 ? kShelfApart : 0);
      block.shelves.push_back(std::move(shelf));
    }
    if (block.shelves.empty()) block.height += kCircuitRail;
    return block;
  }

  const CircuitDrawing& circuit_;
  const CircuitTree& tree_;
  std::map<std::pair<int, long>, CircuitItem> known_;
};

}  // namespace

std::vector<CircuitItem> circuit_layout(const CircuitDrawing& circuit, const CircuitTree& tree,
                                        double width) {
  Layouter layouter(circuit, tree);
  std::vector<CircuitItem> items;
  for (const int root : tree.roots) items.push_back(layouter.hung(root, "", width));
  return items;
}

}  // namespace tautmark::draw
