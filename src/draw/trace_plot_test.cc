// SPDX-License-Identifier: Apache-2.0
// Plots of simulated tightenings, whose truth is known, read back with an XML parser that is not
// ours.
#include "draw/trace_plot.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "draw/test_svg.h"
#include "judge/trace_expected.h"
#include "judge/trace_test_support.h"

namespace tautmark {
namespace {

using draw_test::keep;
using ::testing::HasSubstr;
using ::testing::Not;

TracePlot plotted(const test::BoltTrace& of) {
  TracePlot plot;
  plot.title = "phaser bolt, 1.csv";
  plot.invented = true;
  plot.facts = {{"bolt", "M12x1.25, 10.9"}, {"answer", "not decided"}};
  plot.trace = test::simulated(of);
  tighten::ExpectedStep step;
  step.snug = Torque::from_si(35);
  step.angle = deg(75);
  step.meant_to_yield = true;
  step.thread = tighten::read_thread("M12x1.25")->possible.front();
  step.strength = *tighten::strength("10.9", step.thread.nominal);
  step.friction = *tighten::friction_of("oiled");
  step.head_mean = tighten::ring_mean(*tighten::hexagon_face(step.thread));
  plot.result = *tighten::analyse_trace(plot.trace, step);
  plot.snug = step.snug;
  if (plot.result.gradient)
    plot.band = GradientBand{*plot.result.gradient * 0.8, *plot.result.gradient * 1.2,
                             "by 3 other bolts of this fastener"};
  return plot;
}

TEST(TracePlot, NamesWhatWasFound) {
  const TracePlot plot = plotted({});
  for (const auto& [paper, name] : {std::pair{Paper::screen, "trace-screen.svg"},
                                    {Paper::dark, "trace-dark.svg"},
                                    {Paper::print, "trace-print.svg"}}) {
    const std::string svg = trace_svg(plot, {.paper = paper});
    keep(name, svg);
    draw_test::expect_texts_apart_and_on_the_sheet(svg);
    for (const char* words : {"yields", "closed", "end", "angle from 35.0 N·m", "torque, N·m",
                              "INVENTED ENGINE", "approves no joint"})
      EXPECT_THAT(svg, HasSubstr(words)) << name;
    EXPECT_EQ(svg, trace_svg(plot, {.paper = paper}));
  }
}

TEST(TracePlot, DamageIsNamedInItsNotes) {
  const TracePlot plot =
      plotted({.damage = {.stripped = tighten::StrippedThread{.load = Force::from_si(45000),
                                                              .holds = deg(2),
                                                              .fade = deg(30),
                                                              .rest = 0.3}},
               .angle = 200});
  const std::string svg = trace_svg(plot);
  keep("trace-stripped.svg", svg);
  EXPECT_THAT(svg, HasSubstr("stripped thread"));
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
}

// Nothing at all, and values that are no numbers.
TEST(TracePlot, DrawsWhatIsThere) {
  TracePlot plot;
  plot.title = "empty";
  EXPECT_THAT(trace_svg(plot), HasSubstr("</svg>"));
  const double nan = std::numeric_limits<double>::quiet_NaN();
  plot = plotted({});
  plot.trace.points.push_back({deg(nan), Torque::from_si(nan)});
  const std::string svg = trace_svg(plot);
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
  draw_test::parsed(svg);
}

}  // namespace
}  // namespace tautmark
