// SPDX-License-Identifier: Apache-2.0
// What was brought in, said, seen and done, from the entries of the case.
#include <fmt/format.h>

#include "base/text.h"
#include "casework/case_fields.h"
#include "casework/view.h"
#include "report/html_parts.h"
#include "report/html_sections.h"

namespace tautmark::html {
namespace {

// Parts of a sentence, joined by "; ": add("level", entry.level) gives "level mid".
class Words {
 public:
  Words& add(std::string_view label, const std::optional<std::string>& text) {
    if (!text || text->empty()) return *this;
    if (!words_.empty()) words_ += "; ";
    words_ += label.empty() ? *text : fmt::format("{} {}", label, *text);
    return *this;
  }
  template <class Q>
  Words& add(std::string_view label, const std::optional<Written<Q>>& value) {
    return add(label, value ? std::optional(value->text) : std::nullopt);
  }
  Words& add(std::string_view label, const std::optional<WrittenMeasured>& value) {
    return add(label, value ? std::optional(value->text) : std::nullopt);
  }
  template <class E>
  Words& choice(std::string_view label, const std::optional<E>& value) {
    return add(label, value ? std::optional(std::string(choice_name(*value))) : std::nullopt);
  }
  [[nodiscard]] const std::string& text() const { return words_; }

 private:
  std::string words_;
};

std::optional<std::string> said_of(const std::optional<bool>& fact, const char* yes,
                                   const char* no) {
  return fact ? std::optional<std::string>(*fact ? yes : no) : std::nullopt;
}

std::string words_of(const Complaint& body) {
  return Words()
      .add("", "“" + body.words + "”")
      .add("when:", body.when)
      .add("since:", body.since)
      .text();
}
std::string words_of(const Identification& body) {
  return Words().add("", body.variant).add("seen by:", body.how).text();
}
std::string words_of(const EngineState& body) {
  return Words()
      .choice("apart:", body.apart)
      .add("by", body.apart_by)
      .choice("turned:", body.turned)
      .choice("chain:", body.chain)
      .choice("tensioner pin:", body.pin)
      .choice("phaser:", body.phaser)
      .add("checked:", body.phaser_checked_how)
      .add("crank:", body.crank_at)
      .add("proven by:", body.crank_proven_how)
      .choice("valves:", body.valves)
      .add("", said_of(body.resistance, "resistance felt", "no resistance felt"))
      .add("", said_of(body.dropped, "something dropped, not found", "nothing dropped"))
      .text();
}
std::string words_of(const PreviousWork& body) {
  return Words().add("", body.words).add("by", body.by).add("when:", body.when).text();
}
std::string words_of(const OilFound& body) {
  return Words()
      .add("", body.grade)
      .add("level", body.level)
      .add("", body.smell)
      .add("since the last change", body.distance_since_change)
      .add("viscosity at 40 °C", body.viscosity_40)
      .add("at 100 °C", body.viscosity_100)
      .text();
}
std::string words_of(const Codes& body) {
  std::string words = body.none_stored == true ? "none stored" : joined(body.codes, ", ");
  if (!body.read_from.empty()) words += " (read from: " + joined(body.read_from, ", ") + ")";
  return body.when ? words + ", " + *body.when : words;
}
std::string words_of(const Observation& body) {
  return Words()
      .add("", fmt::format("{}, {}", body.place, body.aspect))
      .choice("", body.condition)
      .add("", body.words)
      .text();
}
std::string words_of(const MarksSeen& body) {
  Words words;
  words.add("", body.chain);
  for (const Strand& strand : body.strands)
    words.add("", fmt::format("{} to {} {}", strand.from, strand.to, strand.links));
  words.choice("counted:", body.counted);
  for (const SprocketMark& mark : body.sprockets)
    words.add(
        "", fmt::format(
                "{}: {}{}", mark.at, mark.stands,
                mark.against ? fmt::format(" (against the {})", choice_name(*mark.against)) : ""));
  return words.choice("seen from the", body.seen_from)
      .add("", body.settled ? std::optional<std::string>(*body.settled ? "after two turns forward"
                                                                       : "not settled")
                            : std::nullopt)
      .choice("phasers:", body.phaser)
      .add("links found:", body.links_found)
      .add("own paint:", body.paint)
      .text();
}
std::string words_of(const SensorRecording& body) {
  Words words;
  words.add("", body.file);
  for (const TypedEdge& edge : body.edges)
    words.add("", fmt::format("{}: {}", edge.cam, edge.values.text));
  return words.choice("phasers:", body.phasers)
      .add("known by:", body.phasers_checked_how)
      .add("command", body.commanded)
      .choice("engine:", body.engine)
      .add("at", body.speed)
      .add("oil at", body.oil_temperature)
      .text();
}
std::string words_of(const PhaseSamples& body) {
  return Words()
      .add("", body.place)
      .add("command", body.commanded)
      .add("actual", body.actual ? std::optional<std::string>(body.actual->text) : std::nullopt)
      .add("mean", body.mean)
      .add("standard deviation", body.sd)
      .add("peak to peak", body.peak_to_peak)
      .add("at", body.speed)
      .add("oil at", body.oil_temperature)
      .text();
}
std::optional<std::string> number(const std::optional<int>& n) {
  return n ? std::optional(std::to_string(*n)) : std::nullopt;
}

std::string words_of(const StopReading& body) {
  return Words()
      .add("cylinder", number(body.cylinder))
      .add("before", std::optional(body.before.text))
      .add("after", std::optional(body.after.text))
      .add("reading ±", body.reading)
      .add("stop ±", body.stop)
      .add("", said_of(body.pressed_up, "piston pressed up", "piston not pressed up"))
      .add("", said_of(body.wheel_set, "wheel set after it", "wheel left as it was"))
      .add("with", body.instrument)
      .text();
}
std::string words_of(const IndicatorReading& body) {
  Words words;
  words.add("", body.place).add("", body.valves).add("cylinder", number(body.cylinder));
  for (const EqualLift& pair : body.pairs)
    words.add("", fmt::format("{}: opens {}, closes {}", pair.lift.text, pair.opens.text,
                              pair.closes.text));
  if (!body.table.empty())
    words.add("", fmt::format("{} lifts from {} to {}", body.table.size(),
                              body.table.front().at.text, body.table.back().at.text));
  return words.add("zero of the wheel ±", body.top)
      .add("", said_of(body.forward_only, "turned forward only", "turned back between"))
      .choice("phaser:", body.phaser)
      .add("checked:", body.phaser_checked_how)
      .add("", said_of(body.as_lobe, "this engine's own lift from now on", ""))
      .add("with", body.instrument)
      .text();
}
std::string words_of(const ValveGap& body) {
  return Words()
      .add("", body.place)
      .add("", body.valves)
      .add("cylinder", number(body.cylinder))
      .add("gap", std::optional(body.gap.text))
      .choice("by", body.how)
      .add("with", body.instrument)
      .text();
}
std::string words_of(const Standing& body) {
  Words words;
  words.add("crank", body.crank ? std::optional(body.crank->text) : std::nullopt)
      .choice("after", body.after)
      .choice("proven by", body.crank_proof);
  for (const CamStanding& camshaft : body.camshafts)
    words.add("", fmt::format("{}: {}", camshaft.at,
                              Words()
                                  .add("", camshaft.stands)
                                  .add("within", camshaft.within)
                                  .choice("phaser:", camshaft.phaser)
                                  .add("checked:", camshaft.phaser_checked_how)
                                  .text()));
  return words.add("wanted", body.wanted)
      .choice("after", body.wanted_after)
      .choice("since the timing was off:", body.since_jump)
      .choice("valves straight by", body.valves_straight)
      .choice("adjusters:", body.adjusters)
      .add("", said_of(body.surfaced, "head or block surfaced", "head and block never surfaced"))
      .add("", said_of(body.other_parts, "other parts than the maker's", "the maker's parts"))
      .add("", said_of(body.in_cylinders, "something lies in a cylinder",
                       "nothing lies in the cylinders"))
      .text();
}
std::string words_of(const TorqueTrace& body) {
  return Words()
      .add("", body.fastener)
      .add("no.", number(body.bolt))
      .add("step", number(body.step))
      .add("", body.file)
      .add("with", body.instrument)
      .text();
}
std::string words_of(const Attachment& body) {
  return Words().add("", body.file).add("shows", body.shows).add("at", body.place).text();
}
std::string words_of(const StepDone& body) {
  return Words()
      .add("", body.step)
      .add("", body.late.value_or(false) ? std::optional<std::string>("entered later than done")
                                         : std::nullopt)
      .text();
}
std::string words_of(const QuickAnswer& body) {
  return fmt::format("{}; asked: {}; answer: {}", body.question, joined(body.asked, ", "),
                     joined(body.answer, ", "));
}
std::string words_of(const Note& body) { return body.words; }

std::string date_words(const Date& date) {
  std::string words = date.text;
  if (const std::size_t t = words.find('T'); t != std::string::npos) words[t] = ' ';
  return words;
}

std::string entry_cell(const Entry& entry) {
  std::string words = said("span", entry.id);
  if (entry.by) words += ", " + escaped(*entry.by);
  if (entry.at) words += ", " + said("span.date", date_words(*entry.at));
  if (entry.replaces) words += escaped(", corrects " + *entry.replaces);
  return tag("td.entry", words);
}

template <class Body>
std::string rows_of(const std::vector<const Entry*>& entries, std::string_view label,
                    std::string_view style = "td") {
  std::string rows;
  for (const auto& [entry, body] : all_of_kind<Body>(entries)) {
    std::string words = words_of(*body);
    if (entry->remark) words += "; " + *entry->remark;
    rows += tag("tr", said("th", rows.empty() ? label : "", "scope=\"row\"") + said(style, words) +
                          entry_cell(*entry)) +
            "\n";
  }
  return rows.empty() ? rows : tag("tbody", rows) + "\n";
}

std::string engine_words(const EngineId& engine) {
  return Words()
      .add("serial number", engine.serial)
      .add("built", engine.built)
      .add("distance", engine.distance)
      .add("running time", engine.hours)
      .text();
}

// Empty words leave room to write by hand.
std::string plain_row(std::string_view label, const std::string& words) {
  return tag("tbody",
             tag("tr", said("th", label, "scope=\"row\"") +
                           said(words.empty() ? "td.write" : "td", words) + tag("td.entry", ""))) +
         "\n";
}

}  // namespace

std::string record_section(int number, const LoadedCase& loaded) {
  const auto entries = entries_in_force(loaded.value);
  const auto or_blank = [](std::string rows, std::string_view label) {
    return rows.empty() ? plain_row(label, "") : rows;
  };
  std::string rows =
      or_blank(rows_of<Complaint>(entries, "complaint", "td.complaint"), "complaint");
  rows += plain_row("engine", engine_words(loaded.value.engine.value_or(EngineId{})));
  rows += rows_of<Identification>(entries, "variant");
  rows += or_blank(rows_of<Codes>(entries, "codes", "td.codes"), "codes");
  rows += or_blank(rows_of<PreviousWork>(entries, "previous work"), "previous work");
  rows += or_blank(rows_of<OilFound>(entries, "oil found"), "oil found");
  rows += or_blank(rows_of<EngineState>(entries, "state"), "state");
  rows += rows_of<SensorRecording>(entries, "sensor recordings");
  rows += rows_of<PhaseSamples>(entries, "cam phase, scan data");
  rows += rows_of<MarksSeen>(entries, "marks, link counts");
  rows += rows_of<Standing>(entries, "where it stands");
  rows += rows_of<StopReading>(entries, "top dead center by stop");
  rows += rows_of<IndicatorReading>(entries, "lift by indicator");
  rows += rows_of<ValveGap>(entries, "gap of valve and piston");
  rows += rows_of<TorqueTrace>(entries, "torque traces");
  rows += rows_of<Observation>(entries, "seen") + rows_of<StepDone>(entries, "steps done");
  rows += rows_of<Note>(entries, "notes") + rows_of<QuickAnswer>(entries, "quick answers");
  rows += rows_of<Attachment>(entries, "photos, files");
  return section(number, "Complaint and what was found", tag("table.record", rows));
}

}  // namespace tautmark::html
