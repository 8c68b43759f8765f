// SPDX-License-Identifier: Apache-2.0
// Reading: the text is cut into words, the longest phrase of the table that fits is taken at each
// place, amounts are put together from numbers, halves and teeth.
#include "casework/mark_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstdlib>

#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::size_t kLongestText = 400;
constexpr int kMostTeethOff = 99;

enum class Says { nothing, right, off, seen, way, doubt, link, sort, color, top, refused };

struct Phrase {
  std::string_view words;
  Says says = Says::nothing;
  int value = 0;            // MarkSeen or MarkWay; of `top` the clock angle in degrees
  std::string_view more{};  // what is kept or asked
};

constexpr Phrase seen(std::string_view words, MarkSeen what) {
  return {words, Says::seen, static_cast<int>(what), {}};
}
constexpr Phrase way(std::string_view words, MarkWay what) {
  return {words, Says::way, static_cast<int>(what), {}};
}
constexpr Phrase refused(std::string_view words, std::string_view ask) {
  return {words, Says::refused, 0, ask};
}

constexpr std::string_view kSayHowItStands = "say how it stands, not how it does not";
constexpr std::string_view kOnlyHalves =
    "whole and half teeth only; look again, square on: a quarter is within what a pointer hides";
constexpr std::string_view kTeethPlease = "say it in teeth of the sprocket";

using enum MarkSeen;

constexpr Phrase kPhrases[] = {
    // How it stands.
    {"right on", Says::right},
    {"all right", Says::right},
    {"dead on", Says::right},
    {"spot on", Says::right},
    {"lines up", Says::right},
    {"line up", Says::right},
    {"lined up", Says::right},
    {"aligned", Says::right},
    {"in line", Says::right},
    {"flush", Says::right},
    {"on the mark", Says::right},
    {"on its mark", Says::right},
    {"at the mark", Says::right},
    {"at its mark", Says::right},
    {"on the tooth", Says::right},
    {"matches", Says::right},
    {"correct", Says::right},
    {"exact", Says::right},
    {"exactly", Says::right},
    {"good", Says::right},
    {"ok", Says::right},
    {"nothing off", Says::right},
    {"no tooth off", Says::right},
    {"not off", Says::right},
    {"off", Says::off},
    {"out", Says::off},
    {"shifted", Says::off},
    {"misaligned", Says::off},
    seen("half a turn", half_turn_away),
    seen("half turn", half_turn_away),
    seen("half a cam turn", half_turn_away),
    seen("one crank turn", half_turn_away),
    seen("a crank turn", half_turn_away),
    seen("180", half_turn_away),
    seen("180 deg", half_turn_away),
    seen("180 degrees", half_turn_away),
    seen("opposite", half_turn_away),
    seen("opposite side", half_turn_away),
    seen("upside down", half_turn_away),
    seen("cannot see", cannot_see),
    seen("can not see", cannot_see),
    seen("can't see", cannot_see),
    seen("cant see", cannot_see),
    seen("cannot be seen", cannot_see),
    seen("cannot read", cannot_see),
    seen("cannot tell", cannot_see),
    seen("can't tell", cannot_see),
    seen("not visible", cannot_see),
    seen("not seen", cannot_see),
    seen("invisible", cannot_see),
    seen("hidden", cannot_see),
    seen("covered", cannot_see),
    seen("paint gone", gone),
    seen("paint is gone", gone),
    seen("paint off", gone),
    seen("paint worn", gone),
    seen("paint worn off", gone),
    seen("worn off", gone),
    seen("rubbed off", gone),
    seen("washed off", gone),
    seen("color gone", gone),
    seen("colour gone", gone),
    seen("faded", gone),
    seen("no paint", gone),
    seen("no color", gone),
    seen("no colour", gone),
    seen("no mark", gone),
    seen("no marks", gone),
    seen("mark gone", gone),
    seen("not marked", gone),
    seen("unmarked", gone),
    // Which way.
    way("early", MarkWay::early),
    way("advanced", MarkWay::early),
    way("late", MarkWay::late),
    way("retarded", MarkWay::late),
    way("with rotation", MarkWay::with_rotation),
    way("with the rotation", MarkWay::with_rotation),
    way("in rotation", MarkWay::with_rotation),
    way("in direction of rotation", MarkWay::with_rotation),
    way("in the direction of rotation", MarkWay::with_rotation),
    way("in running direction", MarkWay::with_rotation),
    way("in the running direction", MarkWay::with_rotation),
    way("forward", MarkWay::with_rotation),
    way("forwards", MarkWay::with_rotation),
    way("ahead", MarkWay::with_rotation),
    way("past", MarkWay::with_rotation),
    way("against rotation", MarkWay::against_rotation),
    way("against the rotation", MarkWay::against_rotation),
    way("against direction of rotation", MarkWay::against_rotation),
    way("against the direction of rotation", MarkWay::against_rotation),
    way("against running direction", MarkWay::against_rotation),
    way("against the running direction", MarkWay::against_rotation),
    way("backward", MarkWay::against_rotation),
    way("backwards", MarkWay::against_rotation),
    way("behind", MarkWay::against_rotation),
    way("short of", MarkWay::against_rotation),
    way("left", MarkWay::left),
    way("right of", MarkWay::right),
    way("to the right", MarkWay::right),
    way("clockwise", MarkWay::clockwise),
    way("cw", MarkWay::clockwise),
    way("counterclockwise", MarkWay::counterclockwise),
    way("counter clockwise", MarkWay::counterclockwise),
    way("anticlockwise", MarkWay::counterclockwise),
    way("anti clockwise", MarkWay::counterclockwise),
    way("ccw", MarkWay::counterclockwise),
    way("up", MarkWay::up),
    way("higher", MarkWay::up),
    way("above", MarkWay::up),
    way("down", MarkWay::down),
    way("lower", MarkWay::down),
    way("below", MarkWay::down),
    // Where on the wheel.
    {"top", Says::top, 0},
    {"bottom", Says::top, 180},
    // How sure.
    {"about", Says::doubt},
    {"approximately", Says::doubt},
    {"around", Says::doubt},
    {"roughly", Says::doubt},
    {"nearly", Says::doubt},
    {"almost", Says::doubt},
    {"maybe", Says::doubt},
    {"perhaps", Says::doubt},
    {"probably", Says::doubt},
    {"possibly", Says::doubt},
    {"i think", Says::doubt},
    {"i guess", Says::doubt},
    {"or so", Says::doubt},
    {"more or less", Says::doubt},
    {"looks like", Says::doubt},
    {"seems", Says::doubt},
    {"ca", Says::doubt},
    {"?", Says::doubt},
    {"~", Says::doubt},
    // What kind of mark.
    {"link", Says::link},
    {"links", Says::link},
    {"dot", Says::sort},
    {"punch", Says::sort},
    {"line", Says::sort},
    {"letter", Says::sort},
    {"notch", Says::sort},
    {"arrow", Says::sort},
    {"copper", Says::color},
    {"blue", Says::color},
    {"yellow", Says::color},
    {"orange", Says::color},
    {"white", Says::color},
    {"red", Says::color},
    {"green", Says::color},
    {"black", Says::color},
    {"gold", Says::color},
    {"silver", Says::color},
    {"bright", Says::color},
    {"dark", Says::color},
    // What is asked back.
    refused("not", kSayHowItStands),
    refused("never", kSayHowItStands),
    refused("isn't", kSayHowItStands),
    refused("isnt", kSayHowItStands),
    refused("aren't", kSayHowItStands),
    refused("doesn't", kSayHowItStands),
    refused("no", kSayHowItStands),
    refused("cannot", kSayHowItStands),
    refused("can't", kSayHowItStands),
    refused("without", kSayHowItStands),
    refused("but", "one thing at a time: how far off, and which way"),
    refused("or", "one amount and one way; if it is not sure, say \"about\""),
    refused("before", "ahead of it or behind it, in running direction?"),
    refused("after", "ahead of it or behind it, in running direction?"),
    refused("less", kOnlyHalves),
    refused("more", kOnlyHalves),
    refused("quarter", kOnlyHalves),
    refused("third", kOnlyHalves),
    refused("few", "how many teeth?"),
    refused("some", "how many teeth?"),
    refused("bit", "how many teeth, or half a tooth?"),
    refused("slightly", "how many teeth, or half a tooth?"),
    refused("deg", kTeethPlease),
    refused("degree", kTeethPlease),
    refused("degrees", kTeethPlease),
    refused("mm", kTeethPlease),
    // Words that change nothing.
    {"the"},
    {"is"},
    {"it"},
    {"its"},
    {"are"},
    {"stands"},
    {"stand"},
    {"sits"},
    {"mark"},
    {"marks"},
    {"sprocket"},
    {"phaser"},
    {"wheel"},
    {"from"},
    {"to"},
    {"of"},
    {"at"},
    {"on"},
    {"by"},
    {"against"},
    {"casting"},
    {"pointer"},
    {"head"},
    {"cover"},
    {"away"},
    {"too"},
    {"seen"},
    {"with"},
    {"in"},
    {"colored"},
    {"coloured"},
    {"painted"},
    {"cam"},
    {"camshaft"},
    {"crank"},
    {"intake"},
    {"exhaust"},
    {"says"},
    {"now"},
    {"straight"},
    {"center"},
    {"centre"},
    {"and"},
};

struct Word {
  std::string text;
  std::size_t offset = 0, length = 0;
};

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '\'' ||
         static_cast<unsigned char>(c) >= 0x80;
}
bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Signs that are more than one byte, and what they say.
struct Sign {
  std::string_view bytes, word;
};
constexpr Sign kSigns[] = {{"½", "1/2"}, {"¼", "quarter"}, {"¾", "quarter"}, {"°", "deg"}};

std::vector<Word> words_of(std::string_view text) {
  std::vector<Word> words;
  for (std::size_t at = 0; at < text.size();) {
    const auto rest = text.substr(at);
    const auto sign = std::find_if(std::begin(kSigns), std::end(kSigns),
                                   [&](const Sign& s) { return rest.starts_with(s.bytes); });
    std::size_t length = 1;
    if (sign != std::end(kSigns)) {
      length = sign->bytes.size();
      words.push_back({std::string(sign->word), at, length});
    } else if (rest.starts_with("’")) {
      length = std::string_view("’").size();  // inside a word it is taken below
    } else if (is_digit(rest[0])) {
      // 1.5  1,5  1/2  2:30: a sign inside the number only between digits.
      while (length < rest.size() &&
             (is_digit(rest[length]) ||
              (std::string_view(".,/:").find(rest[length]) != std::string_view::npos &&
               length + 1 < rest.size() && is_digit(rest[length + 1]))))
        ++length;
      words.push_back({std::string(rest.substr(0, length)), at, length});
    } else if (is_letter(rest[0])) {
      const auto ends_here = [&] {
        const auto tail = rest.substr(length);
        return std::any_of(std::begin(kSigns), std::end(kSigns),
                           [&](const Sign& s) { return tail.starts_with(s.bytes); });
      };
      std::string word(1, rest[0]);
      while (length < rest.size() && is_letter(rest[length]) && !ends_here()) {
        if (rest.substr(length).starts_with("’")) {
          word += '\'';
          length += std::string_view("’").size();
        } else {
          word += rest[length++];
        }
      }
      words.push_back({lower_ascii(word), at, length});
    } else if (rest[0] == '?' || rest[0] == '~') {
      words.push_back({std::string(1, rest[0]), at, 1});
    }
    at += length;
  }
  return words;
}

std::optional<int> word_number(std::string_view word) {
  constexpr std::string_view kNumbers[] = {"zero", "one",    "two",   "three", "four",
                                           "five", "six",    "seven", "eight", "nine",
                                           "ten",  "eleven", "twelve"};
  const auto* const found = std::find(std::begin(kNumbers), std::end(kNumbers), word);
  if (found != std::end(kNumbers)) return static_cast<int>(found - std::begin(kNumbers));
  return std::nullopt;
}

std::optional<int> whole_number(std::string_view word) {
  int value = 0;
  const auto [end, wrong] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (wrong != std::errc{} || end != word.data() + word.size()) return std::nullopt;
  return value;
}

bool is_half(std::string_view word) { return word == "half" || word == "1/2"; }
bool is_teeth(std::string_view word) {
  return word == "tooth" || word == "teeth" || word == "pitch" || word == "pitches";
}
bool is_links(std::string_view word) { return word == "link" || word == "links"; }

class Reader {
 public:
  explicit Reader(std::string_view text) : words_(words_of(text)) { result_.said = trimmed(text); }

  FromText<MarkWords> read() {
    for (at_ = 0; at_ < words_.size();) {
      if (auto wrong = clock()) return tl::make_unexpected(*wrong);
      if (at_ >= words_.size()) break;
      phrase_length();
      if (longest_ == nullptr || longest_->says == Says::nothing) {
        const std::size_t before = at_;
        if (auto wrong = amount()) return tl::make_unexpected(*wrong);
        if (at_ != before) continue;
      }
      if (auto wrong = phrase()) return tl::make_unexpected(*wrong);
    }
    return finished();
  }

 private:
  [[nodiscard]] std::string_view word(std::size_t at) const {
    return at < words_.size() ? std::string_view(words_[at].text) : std::string_view();
  }
  [[nodiscard]] TextError wrong(std::size_t at, std::string problem, std::string_view hint) const {
    TextError error{0, result_.said.size(), std::move(problem), std::string(hint)};
    if (at < words_.size()) {
      error.offset = words_[at].offset;
      error.length = words_[at].length;
    }
    return error;
  }

  std::size_t phrase_length() {
    longest_ = nullptr;
    std::size_t longest = 0;
    for (const Phrase& phrase : kPhrases) {
      std::size_t length = 0;
      std::string_view rest = phrase.words;
      bool fits = true;
      while (fits && !rest.empty()) {
        const std::size_t blank = std::min(rest.find(' '), rest.size());
        fits = word(at_ + length) == rest.substr(0, blank);
        rest.remove_prefix(std::min(blank + 1, rest.size()));
        ++length;
      }
      if (fits && length > longest) {
        longest = length;
        longest_ = &phrase;
      }
    }
    return longest;
  }

  // 2 o'clock, 2 oclock, 2 o clock, 2:30.
  std::optional<TextError> clock() {
    const std::string_view hour_word = word(at_);
    const std::size_t colon = hour_word.find(':');
    auto hour = whole_number(hour_word.substr(0, colon));
    if (!hour) hour = word_number(hour_word);
    if (!hour) return std::nullopt;
    int minutes = 0;
    std::size_t length = 1;
    const std::string_view next = word(at_ + 1);
    const bool said =
        next == "o'clock" || next == "oclock" || (next == "o" && word(at_ + 2) == "clock");
    if (said) length = next == "o" ? 3 : 2;
    if (colon != std::string_view::npos) {
      const auto after = whole_number(hour_word.substr(colon + 1));
      if (!after || *after > 59) return wrong(at_, "no time of a clock", "2 o'clock");
      minutes = *after;
    } else if (!said) {
      return std::nullopt;
    }
    if (*hour < 1 || *hour > 12) return wrong(at_, "a clock has 1 to 12 o'clock", "2 o'clock");
    if (auto two = set_clock((*hour % 12) * 30.0 + minutes * 0.5)) return two;
    at_ += length;
    return std::nullopt;
  }

  std::optional<TextError> set_clock(double degrees) {
    if (result_.clock) return wrong(at_, "two places on the wheel", "one mark, one place");
    result_.clock = deg(degrees);
    return std::nullopt;
  }

  // Halves that a number word says, 1.5 or 1,5 included.
  [[nodiscard]] std::optional<int> halves_at(std::size_t at) const {
    const std::string_view text = word(at);
    if (is_half(text)) return 1;
    if (const auto whole = word_number(text)) return 2 * *whole;
    const std::size_t point = text.find_first_of(".,");
    const auto whole = whole_number(text.substr(0, point));
    if (!whole || *whole > kMostTeethOff) return std::nullopt;
    if (point == std::string_view::npos) return 2 * *whole;
    const std::string_view fraction = text.substr(point + 1);
    if (fraction == "5" || fraction == "50") return 2 * *whole + 1;
    if (fraction == "0" || fraction == "00") return 2 * *whole;
    return std::nullopt;
  }

  // A half that follows: "and a half", "and half", "1/2".
  [[nodiscard]] std::size_t half_after(std::size_t at) const {
    if (word(at) == "1/2") return 1;
    if (word(at) != "and") return 0;
    if (is_half(word(at + 1))) return 2;
    return word(at + 1) == "a" && is_half(word(at + 2)) ? 3 : 0;
  }

  std::optional<TextError> amount() {
    std::size_t at = at_;
    std::optional<int> halves = halves_at(at);
    const bool article = word(at) == "a" || word(at) == "an";
    if (halves) {
      ++at;
      if (*halves == 1 && is_half(word(at - 1))) {
        if (word(at) == "of") ++at;
        if (word(at) == "a" || word(at) == "the") ++at;
      }
    } else if (article && (is_teeth(word(at + 1)) || is_links(word(at + 1)))) {
      halves = 2;
      ++at;
    } else if (article && is_half(word(at + 1))) {
      halves = 1;
      at += 2;
    } else if (is_teeth(word(at)) && half_after(at + 1) > 0) {
      halves = 2;
    } else if (article || is_teeth(word(at))) {
      ++at_;
      return std::nullopt;
    } else if (!word(at).empty() && is_digit(word(at)[0])) {
      return wrong(at, fmt::format("\"{}\" is no number of teeth", word(at)),
                   "whole and half teeth only: 1, 1.5, one and a half");
    } else {
      return std::nullopt;
    }
    if (const std::size_t more = half_after(at); more > 0 && *halves % 2 == 0) {
      ++*halves;
      at += more;
    }
    if (!is_teeth(word(at)) && !is_links(word(at)))
      return wrong(at_, fmt::format("\"{}\" of what?", word(at_)),
                   "half a tooth, 1 tooth, 2 teeth");
    if (is_links(word(at))) result_.of_link = true;
    ++at;
    if (const std::size_t more = half_after(at); more > 0 && *halves % 2 == 0) {
      ++*halves;
      at += more;
    }
    if (result_.half_teeth)
      return wrong(at_, "two amounts", "one amount; if it is not sure, say \"about\"");
    result_.half_teeth = *halves;
    at_ = at;
    return std::nullopt;
  }

  std::optional<TextError> phrase() {
    const std::size_t length = phrase_length();
    if (longest_ == nullptr) {
      if (word(at_) == "right") {
        bare_right_ = true;
      } else {
        result_.unheard.emplace_back(word(at_));
      }
      ++at_;
      return std::nullopt;
    }
    const Phrase& phrase = *longest_;
    switch (phrase.says) {
      case Says::nothing:
        break;
      case Says::right:
        is_right_ = true;
        break;
      case Says::off:
        is_off_ = true;
        break;
      case Says::seen: {
        const auto what = static_cast<MarkSeen>(phrase.value);
        const bool turned = what == half_turn_away;
        if (seen_ && (*seen_ == half_turn_away) != turned)
          return wrong(at_, "two things that exclude each other", "say one of them");
        seen_ = seen_ == gone ? gone : what;  // cannot be seen, for the paint is gone
        break;
      }
      case Says::way: {
        const auto what = static_cast<MarkWay>(phrase.value);
        if (result_.way && *result_.way != what) return wrong(at_, "two ways", "say one of them");
        result_.way = what;
        break;
      }
      case Says::doubt:
        result_.doubt = true;
        break;
      case Says::link:
        result_.of_link = true;
        break;
      case Says::sort:
        result_.sort = phrase.words;
        break;
      case Says::color:
        result_.color = phrase.words;
        break;
      case Says::top:
        if (auto two = set_clock(phrase.value)) return two;
        break;
      case Says::refused:
        return wrong(at_, fmt::format("\"{}\" leaves it open how the mark stands", phrase.words),
                     phrase.more);
    }
    at_ += length;
    return std::nullopt;
  }

  // "right" alone is a mark that stands right; beside an amount it is a way.
  FromText<MarkWords> finished() {
    if (bare_right_ && (result_.half_teeth || is_off_)) {
      if (result_.way && *result_.way != MarkWay::right)
        return tl::make_unexpected(wrong(words_.size(), "two ways", "say one of them"));
      result_.way = MarkWay::right;
      bare_right_ = false;
    }
    const bool off = is_off_ || result_.way || result_.half_teeth.value_or(0) > 0;
    const bool right = is_right_ || bare_right_ || result_.half_teeth == 0;
    if (seen_) {
      if (result_.half_teeth || (right && !off))
        return tl::make_unexpected(
            wrong(words_.size(), "two things that exclude each other", "say one of them"));
      result_.seen = *seen_;
      result_.way.reset();
    } else if (off) {
      if (right && (is_right_ || result_.half_teeth == 0) && !result_.half_teeth)
        return tl::make_unexpected(wrong(words_.size(), "right, and off: which?", "1 tooth late"));
      result_.seen = MarkSeen::off;
    } else if (right) {
      result_.seen = MarkSeen::right;
    } else if (result_.clock) {
      result_.seen = MarkSeen::at_clock;
    } else {
      return tl::make_unexpected(
          wrong(words_.size(), "how does the mark stand?",
                "right; 1 tooth late; half a tooth left; at 2 o'clock; cannot see; paint gone"));
    }
    return std::move(result_);
  }

  std::vector<Word> words_;
  std::size_t at_ = 0;
  const Phrase* longest_ = nullptr;
  bool is_right_ = false, bare_right_ = false, is_off_ = false;
  std::optional<MarkSeen> seen_;
  MarkWords result_;
};

}  // namespace

FromText<MarkWords> read_mark_words(std::string_view text) {
  if (text.size() > kLongestText)
    return tl::make_unexpected(TextError{0, text.size(), "too long for one mark",
                                         "how far off, and which way: 1 tooth late"});
  return Reader(text).read();
}

}  // namespace tautmark
