// SPDX-License-Identifier: Apache-2.0
#include "oil/compare_banks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tautmark::oil {
namespace {

bool is_positive(double value) { return value > 0 && std::isfinite(value); }

Result<void> check_read(const GaugePressures& read) {
  if (!is_positive(read.healthy_head.si()) || !is_positive(read.gallery.si()))
    return refuse("a pressure of nothing leaves nothing to compare");
  if (!(read.expanded.si() >= 0) || !std::isfinite(read.expanded.si()))
    return refuse("an uncertainty cannot be negative");
  if (!(read.gallery > read.healthy_head))
    return refuse(fmt::format(
        "{:.0f} kPa in the gallery is not above {:.0f} kPa at the healthy head: without "
        "a drop between them the estimate has nothing to go by",
        in_kPa(read.gallery), in_kPa(read.healthy_head)));
  if (!(read.healthy_head > read.expanded))
    return refuse("the gauge is no better than the pressure at the head");
  return {};
}

Result<void> check_share(const JournalShare& share) {
  if (!(share.least >= 0 && share.least <= share.likely && share.likely <= share.most &&
        share.most <= 1))
    return refuse("the share of the cam journals lies between 0 and 1, its range around it");
  return {};
}

double head_of(double gallery, double healthy, double s, double f) {
  return gallery / (1 + (gallery / healthy - 1) * (1 - f + f * s));
}

// s that the head pressure of a bank speaks for, at a share of 1.
double drop_ratio(double gallery, double healthy, double head) {
  return (gallery / head - 1) / (gallery / healthy - 1);
}

void note_clearances(const RepairOption& option, const std::optional<Length>& most,
                     OptionForecast& out) {
  if (!most) return;
  for (const JournalClearance& journal : option.journals) {
    if (journal.clearance - journal.expanded > *most)
      out.over.push_back(journal.name);
    else if (journal.clearance + journal.expanded > *most)
      out.may_be_over.push_back(journal.name);
  }
}

Result<OptionForecast> forecast_of(const BankComparison& in, const RepairOption& option) {
  OptionForecast out;
  out.name = option.name;
  const auto leakage = leakage_ratio(option.journals, in.healthy);
  if (!leakage) return refuse(fmt::format("{}: {}", option.name, leakage.error().why));
  out.leakage = *leakage;
  const auto head = head_pressure(in.read, *leakage, in.share);
  if (!head) return tl::make_unexpected(head.error());
  out.head = *head;
  out.pressure = against_least(*head, in.least_at_head);
  note_clearances(option, in.most_clearance, out);
  return out;
}

void rank(const BankComparison& in, BankForecast& out) {
  out.ranking.resize(out.options.size());
  std::iota(out.ranking.begin(), out.ranking.end(), std::size_t{0});
  const auto head = [&](std::size_t i) { return out.options[i].head; };
  std::stable_sort(out.ranking.begin(), out.ranking.end(),
                   [&](std::size_t a, std::size_t b) { return head(a).likely > head(b).likely; });
  if (out.options.size() < 2) {
    out.said = "one option only: nothing to choose between";
    return;
  }
  const std::size_t first = out.ranking.front();
  std::vector<std::size_t> rivals;
  for (auto i = out.ranking.begin() + 1; i != out.ranking.end(); ++i)
    if (head(*i).high >= head(first).low) rivals.push_back(*i);
  out.rivals = {first};
  out.rivals.insert(out.rivals.end(), rivals.begin(), rivals.end());
  if (rivals.empty()) {
    out.best = first;
    out.said = fmt::format(
        "{} gives the highest pressure at the head, over the whole range of the "
        "share of the cam journals",
        out.options[first].name);
    return;
  }
  std::string names = out.options[first].name;
  for (const std::size_t i : rivals) names += fmt::format("; {}", out.options[i].name);
  out.said = fmt::format("cannot choose between {}: their ranges overlap", names);
  out.measure_next.push_back(
      in.share_measured
          ? fmt::format("the journals and bores of {} again, with a better gauge", in.bank)
          : fmt::format("the head port of {} and that of the healthy bank, at hot idle with the "
                        "specified oil: it tells the share of the cam journals",
                        in.bank));
}

}  // namespace

ForecastAgainst against_least(const HeadPressure& head, const std::optional<Pressure>& least) {
  if (!least) return ForecastAgainst::no_limit;
  if (head.high < *least) return ForecastAgainst::below;
  return head.low >= *least ? ForecastAgainst::above : ForecastAgainst::either;
}

Result<CubedClearances> cubed_clearances(const std::vector<JournalClearance>& journals) {
  if (journals.empty()) return refuse("a bank without journals leaks nothing");
  CubedClearances out;
  for (const JournalClearance& journal : journals) {
    const double c = journal.clearance.si(), U = journal.expanded.si();
    if (!is_positive(c)) return refuse(fmt::format("{}: a clearance is above 0", journal.name));
    if (!(U >= 0 && U < c))
      return refuse(fmt::format("{}: ± {:.4f} mm says nothing about {:.4f} mm of clearance",
                                journal.name, in_mm(journal.expanded), in_mm(journal.clearance)));
    out.of_sum.push_back(c * c * c);
    out.sum += c * c * c;
    out.expanded += 3 * c * c * U;
  }
  for (double& share : out.of_sum) share /= out.sum;
  return out;
}

Result<LeakageRatio> leakage_ratio(const std::vector<JournalClearance>& bank,
                                   const std::vector<JournalClearance>& healthy) {
  const auto own = cubed_clearances(bank);
  if (!own) return tl::make_unexpected(own.error());
  const auto other = cubed_clearances(healthy);
  if (!other) return tl::make_unexpected(other.error());
  LeakageRatio out;
  out.ratio = own->sum / other->sum;
  out.expanded = out.ratio * std::hypot(own->expanded / own->sum, other->expanded / other->sum);
  out.clearance_ratio = std::cbrt(out.ratio);
  return out;
}

Result<HeadPressure> head_pressure(const GaugePressures& read, const LeakageRatio& leakage,
                                   const JournalShare& share) {
  if (const auto fine = check_read(read); !fine) return tl::make_unexpected(fine.error());
  if (const auto fine = check_share(share); !fine) return tl::make_unexpected(fine.error());
  if (!is_positive(leakage.ratio) || !(leakage.expanded >= 0) || !std::isfinite(leakage.expanded))
    return refuse("a leakage ratio is above 0");
  const double gallery = read.gallery.si(), healthy = read.healthy_head.si();
  HeadPressure out;
  const double likely = head_of(gallery, healthy, leakage.ratio, share.likely);
  out.likely = Pressure::from_si(likely);
  double low = likely, high = likely;
  const double u = read.expanded.si();
  for (const double f : {share.least, share.most}) {
    // Readings and clearances add in squares, the two ends of the share are both taken.
    const double here = head_of(gallery, healthy, leakage.ratio, f);
    const auto move = [&](double g, double h, double s) {
      return head_of(g, h, std::max(s, 0.0), f) - here;
    };
    const double gauge = std::hypot(move(gallery + u, healthy, leakage.ratio),
                                    move(gallery, healthy - u, leakage.ratio));
    low = std::min(
        low, here - std::hypot(gauge, move(gallery, healthy, leakage.ratio + leakage.expanded)));
    high = std::max(
        high, here + std::hypot(gauge, move(gallery, healthy, leakage.ratio - leakage.expanded)));
  }
  out.low = Pressure::from_si(std::max(low, 0.0));
  out.high = Pressure::from_si(high);
  return out;
}

Result<JournalShare> share_from_reading(const GaugePressures& read, const LeakageRatio& as_found,
                                        Pressure head) {
  if (const auto fine = check_read(read); !fine) return tl::make_unexpected(fine.error());
  if (!(head > read.expanded) || !std::isfinite(head.si()))
    return refuse("a pressure of nothing leaves nothing to compare");
  if (!(std::abs(as_found.ratio - 1) > as_found.expanded))
    return refuse("the two banks leak alike within the uncertainty: no share follows from that");
  const double gallery = read.gallery.si(), healthy = read.healthy_head.si(),
               u = read.expanded.si();
  const auto share_at = [&](double g, double h, double p, double s) {
    return (drop_ratio(g, h, p) - 1) / (s - 1);
  };
  const double f = share_at(gallery, healthy, head.si(), as_found.ratio);
  const auto move = [&](double g, double h, double p, double s) {
    return share_at(g, h, p, s) - f;
  };
  // The side of s toward 1 moves the share most.
  const double nearer =
      as_found.ratio > 1 ? as_found.ratio - as_found.expanded : as_found.ratio + as_found.expanded;
  const double expanded =
      std::sqrt(std::pow(move(gallery + u, healthy, head.si(), as_found.ratio), 2) +
                std::pow(move(gallery, healthy - u, head.si(), as_found.ratio), 2) +
                std::pow(move(gallery, healthy, head.si() - u, as_found.ratio), 2) +
                std::pow(move(gallery, healthy, head.si(), nearer), 2));
  if (!(f + expanded >= 0 && f - expanded <= 1))
    return refuse(
        fmt::format("the clearances do not explain {:.0f} kPa at the head: something else "
                    "leaks, or a reading is wrong",
                    in_kPa(head)));
  const auto within = [](double share) { return std::clamp(share, 0.0, 1.0); };
  return JournalShare{within(f - expanded), within(f), within(f + expanded)};
}

Result<BankForecast> compare_banks(const BankComparison& in) {
  if (in.options.empty()) return refuse("no option to compare");
  if (in.most_clearance && !is_positive(in.most_clearance->si()))
    return refuse("a limit of clearance is above 0");
  BankForecast out;
  for (const RepairOption& option : in.options) {
    auto forecast = forecast_of(in, option);
    if (!forecast) return tl::make_unexpected(forecast.error());
    out.options.push_back(std::move(*forecast));
  }
  rank(in, out);
  out.marked = fmt::format(
      "first-order estimate from cold clearances, with {:.0f} to {:.0f} % of the head's "
      "leakage in the cam journals: good to compare options, no forecast against a "
      "limit",
      in.share.least * 100, in.share.most * 100);
  return out;
}

}  // namespace tautmark::oil
