// SPDX-License-Identifier: Apache-2.0
// One description of each struct's fields serves every reader and writer: YAML and JSON,
// unknown-key errors with a suggestion, JSON Schema, the format pages under docs/formats, and later
// the forms. A field is written down once:
//
//   template <> struct Description<Chain> {
//     static constexpr std::string_view name = "chain";
//     static constexpr std::string_view help = "One chain of the drive.";
//     static std::span<const FieldInfo> fields() {
//       static const FieldInfo kFields[] = {
//           field<&Chain::pitch>("pitch", "Distance from pin to pin.", "8 mm", {.bounds =
//           kPositive}),
//           ...};
//       return kFields;
//     }
//   };
//
// A member of type std::optional<T> or std::vector<T> may be left out; any other is required,
// unless the field's options say otherwise. A record may have a short form: a scalar in its place
// is read into one of its fields. A record may be tagged: the value of one key says which further
// fields it has (std::variant).
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <variant>
#include <vector>

#include "base/quantity_text.h"
#include "base/tree.h"
#include "base/written.h"

namespace tautmark {

struct TypeInfo;
struct FieldInfo;
using TypeRef = const TypeInfo& (*)();

enum class Shape { leaf, optional, list, record };

struct TagInfo {
  std::string_view key;
  std::string_view help;
  std::span<const TypeRef> alternatives;  // records; their names are the tag's values
  std::size_t (*index)(const void* record);
  void* (*emplace)(void* record, std::size_t index);  // address of the chosen alternative
  const void* (*body)(const void* record);
};

struct TypeInfo {
  Shape shape = Shape::leaf;
  std::string_view name;
  std::string_view help;

  // leaf
  std::string_view json_type = "string";
  std::optional<TextError> (*read)(std::string_view text, const TextRules& rules,
                                   void* out) = nullptr;
  std::string (*write)(const void* value) = nullptr;
  std::optional<double> (*number)(const void* value) = nullptr;  // for bounds, SI
  std::optional<Kind> kind;
  std::span<const std::string_view> choices;
  bool accepts_scalar_list = false;  // [27.95 mm, 27.96 mm] for a list of readings

  // optional and list
  TypeRef element = nullptr;
  void* (*append)(void* container) = nullptr;  // list: a new last item; optional: the value
  std::size_t (*size)(const void* container) = nullptr;
  const void* (*item)(const void* container, std::size_t index) = nullptr;

  // record
  std::span<const FieldInfo> (*fields)() = nullptr;
  std::string_view short_form;
  const TagInfo* tag = nullptr;
};

struct Bounds {
  double lower = -std::numeric_limits<double>::infinity();
  double upper = std::numeric_limits<double>::infinity();
  bool above_lower = false;  // the lower end itself is not allowed
};
inline constexpr Bounds kPositive{0, std::numeric_limits<double>::infinity(), true};
constexpr Bounds between(double lower, double upper) { return {lower, upper, false}; }

struct FieldOptions {
  std::optional<Bounds> bounds = std::nullopt;
  // Bites when wrongly inherited: a variant must restate or confirm it by this name, or findings
  // that rest on it stay open (design.md section 3).
  std::string_view topic = {};
  // Does not go with its neighbors in the commented example of the format page: shown there as a
  // comment.
  bool apart = false;
  // Against the rule of the member's type: a list that is always written, also an empty one; a text
  // that may be left out, and is when it is empty.
  std::optional<bool> required = std::nullopt;
};

struct FieldInfo {
  std::string_view key;
  std::string_view help;
  std::string_view example;
  FieldOptions options;
  TypeRef type = nullptr;
  const void* (*get)(const void* record) = nullptr;
  void* (*edit)(void* record) = nullptr;
};

bool is_required(const FieldInfo& field);

template <class T>
struct Description;  // specialized beside each struct

// Names of the values of an enumeration, in order, starting with value 0.
template <class E>
struct ChoiceNames;

template <class T, class = void>
struct TypeOf;
template <class T>
const TypeInfo& type_of() {
  return TypeOf<T>::get();
}

// Places of everything that was read, by path: "chains[0].links". A path that is not there falls
// back to its parents, so that a message about something missing points at where it should be.
class Places {
 public:
  void note(const std::string& path, const Node& node);
  [[nodiscard]] TextPlace at(std::string path) const;
  [[nodiscard]] bool has(const std::string& path) const { return spots_.contains(path); }

  // What could not be read: a later check that needs it keeps quiet.
  void note_failed(const std::string& path) { failed_.insert(path); }
  [[nodiscard]] bool failed(const std::string& path) const;

 private:
  [[nodiscard]] bool failed_below(const std::string& path) const;
  struct Spot {
    TextFileRef file;
    int line, column, length;
  };
  std::map<std::string, Spot> spots_;
  std::set<std::string> failed_;
};

struct ReadContext {
  TextRules rules;
  Diagnostics* diagnostics = nullptr;
  Places* places = nullptr;          // may be null
  const FieldInfo* field = nullptr;  // the one being read, for its example
  TextFileRef own_file;              // set when a variant is laid over its base
  std::map<std::string, std::string>* inherited = nullptr;  // topic -> path of what was inherited
};

// Reads as much as can be read and reports every mistake. False when anything was wrong.
bool read_value(const TypeInfo& type, const Node& node, void* out, ReadContext& context,
                const std::string& path);
Node write_value(const TypeInfo& type, const void* value);

template <class T>
bool read_record(const Node& node, T& out, ReadContext& context) {
  return read_value(type_of<T>(), node, &out, context, "");
}
template <class T>
Node write_record(const T& value) {
  return write_value(type_of<T>(), &value);
}

// JSON Schema (draft 2020-12) of a format, and its reference page.
std::string json_schema_text(const TypeInfo& type, std::string_view title);
std::string format_page(const TypeInfo& type, std::string_view title,
                        std::string_view introduction);

// ---------------------------------------------------------------------------------------------

template <class T>
struct MemberOf;
template <class C, class M>
struct MemberOf<M C::*> {
  using Class = C;
  using Type = M;
};

template <auto kMember>
FieldInfo field(std::string_view key, std::string_view help, std::string_view example = {},
                FieldOptions options = {}) {
  using Class = typename MemberOf<decltype(kMember)>::Class;
  using Type = typename MemberOf<decltype(kMember)>::Type;
  FieldInfo info;
  info.key = key;
  info.help = help;
  info.example = example;
  info.options = options;
  info.type = &type_of<Type>;
  info.get = [](const void* record) -> const void* {
    return &(static_cast<const Class*>(record)->*kMember);
  };
  info.edit = [](void* record) -> void* { return &(static_cast<Class*>(record)->*kMember); };
  return info;
}

template <class T>
concept HasShortForm = requires {
  Description<T>::short_form;
};
template <class T>
concept HasTag = requires {
  Description<T>::tag();
};

// A described record.
template <class T>
struct TypeOf<T, std::void_t<decltype(Description<T>::name)>> {
  static const TypeInfo& get() {
    static const TypeInfo kInfo = [] {
      TypeInfo info;
      info.shape = Shape::record;
      info.name = Description<T>::name;
      info.help = Description<T>::help;
      info.fields = &Description<T>::fields;
      if constexpr (HasShortForm<T>) info.short_form = Description<T>::short_form;
      if constexpr (HasTag<T>) info.tag = &Description<T>::tag();
      return info;
    }();
    return kInfo;
  }
};

template <auto kMember>
const TagInfo& tag_of(std::string_view key, std::string_view help) {
  using Class = typename MemberOf<decltype(kMember)>::Class;
  using Variant = typename MemberOf<decltype(kMember)>::Type;
  static constexpr std::size_t kSize = std::variant_size_v<Variant>;
  static constexpr auto kTypes = []<std::size_t... I>(std::index_sequence<I...>) {
    return std::array<TypeRef, kSize>{&type_of<std::variant_alternative_t<I, Variant>>...};
  }
  (std::make_index_sequence<kSize>{});
  static const TagInfo kInfo = [key, help] {
    TagInfo info;
    info.key = key;
    info.help = help;
    info.alternatives = kTypes;
    info.index = [](const void* record) {
      return (static_cast<const Class*>(record)->*kMember).index();
    };
    info.body = [](const void* record) -> const void* {
      return std::visit([](const auto& body) -> const void* { return &body; },
                        static_cast<const Class*>(record)->*kMember);
    };
    info.emplace = [](void* record, std::size_t index) -> void* {
      Variant& variant = static_cast<Class*>(record)->*kMember;
      [&]<std::size_t... I>(std::index_sequence<I...>) {
        (void)((index == I && (variant.template emplace<I>(), true)) || ...);
      }
      (std::make_index_sequence<kSize>{});
      return std::visit([](auto& body) -> void* { return &body; }, variant);
    };
    return info;
  }();
  return kInfo;
}

template <class T>
struct TypeOf<std::optional<T>> {
  static const TypeInfo& get() {
    static const TypeInfo kInfo = [] {
      TypeInfo info;
      info.shape = Shape::optional;
      info.name = type_of<T>().name;
      info.element = &type_of<T>;
      info.append = [](void* container) -> void* {
        return &static_cast<std::optional<T>*>(container)->emplace();
      };
      info.size = [](const void* container) -> std::size_t {
        return static_cast<const std::optional<T>*>(container)->has_value() ? 1 : 0;
      };
      info.item = [](const void* container, std::size_t) -> const void* {
        return &**static_cast<const std::optional<T>*>(container);
      };
      return info;
    }();
    return kInfo;
  }
};

template <class T>
struct TypeOf<std::vector<T>> {
  static const TypeInfo& get() {
    static const TypeInfo kInfo = [] {
      TypeInfo info;
      info.shape = Shape::list;
      info.name = type_of<T>().name;
      info.element = &type_of<T>;
      info.append = [](void* container) -> void* {
        return &static_cast<std::vector<T>*>(container)->emplace_back();
      };
      info.size = [](const void* container) {
        return static_cast<const std::vector<T>*>(container)->size();
      };
      info.item = [](const void* container, std::size_t index) -> const void* {
        return &(*static_cast<const std::vector<T>*>(container))[index];
      };
      return info;
    }();
    return kInfo;
  }
};

// Leaves whose type is known here; see fields.cc.
#define TAUTMARK_LEAF(type)       \
  template <>                     \
  struct TypeOf<type> {           \
    static const TypeInfo& get(); \
  };
TAUTMARK_LEAF(std::string)
TAUTMARK_LEAF(int)
TAUTMARK_LEAF(std::int64_t)
TAUTMARK_LEAF(bool)
TAUTMARK_LEAF(Date)
TAUTMARK_LEAF(WrittenAny)
TAUTMARK_LEAF(WrittenMeasured)
TAUTMARK_LEAF(WrittenAnyRange)
TAUTMARK_LEAF(WrittenList)
#undef TAUTMARK_LEAF

template <Kind kKind>
struct TypeOf<Written<Quantity<kKind>>> {
  static const TypeInfo& get() {
    using T = Written<Quantity<kKind>>;
    static const TypeInfo kInfo = [] {
      TypeInfo info;
      info.name = kind_name(kKind);
      info.kind = kKind;
      info.read = [](std::string_view text, const TextRules& rules, void* out) {
        const auto value = read_quantity(text, kKind, rules);
        if (!value) return std::optional<TextError>(value.error());
        *static_cast<T*>(out) = {Quantity<kKind>::from_si(value->si), std::string(text)};
        return std::optional<TextError>();
      };
      info.write = [](const void* value) { return static_cast<const T*>(value)->text; };
      info.number = [](const void* value) -> std::optional<double> {
        return static_cast<const T*>(value)->value.si();
      };
      return info;
    }();
    return kInfo;
  }
};

template <Kind kKind>
struct TypeOf<WrittenRange<Quantity<kKind>>> {
  static const TypeInfo& get() {
    using T = WrittenRange<Quantity<kKind>>;
    static const TypeInfo kInfo = [] {
      TypeInfo info;
      info.name = kind_name(kKind);
      info.help = "a range: a..b unit, a ± b unit, at least a unit, at most b unit";
      info.kind = kKind;
      info.read = [](std::string_view text, const TextRules& rules, void* out) {
        const auto range = read_interval(text, kKind, rules);
        if (!range) return std::optional<TextError>(range.error());
        T& result = *static_cast<T*>(out);
        result = T{};
        if (range->lower_si) result.lower = Quantity<kKind>::from_si(*range->lower_si);
        if (range->upper_si) result.upper = Quantity<kKind>::from_si(*range->upper_si);
        result.text = std::string(text);
        return std::optional<TextError>();
      };
      info.write = [](const void* value) { return static_cast<const T*>(value)->text; };
      return info;
    }();
    return kInfo;
  }
};

// An enumeration with names.
std::optional<TextError> read_choice(std::string_view text, std::span<const std::string_view> names,
                                     std::size_t& index);

template <class E>
struct TypeOf<E, std::enable_if_t<std::is_enum_v<E>>> {
  static const TypeInfo& get() {
    static const TypeInfo kInfo = [] {
      TypeInfo info;
      info.name = "choice";
      info.choices = ChoiceNames<E>::names;
      info.read = [](std::string_view text, const TextRules&, void* out) {
        std::size_t index = 0;
        auto error = read_choice(text, ChoiceNames<E>::names, index);
        if (!error) *static_cast<E*>(out) = static_cast<E>(index);
        return error;
      };
      info.write = [](const void* value) {
        return std::string(
            ChoiceNames<E>::names[static_cast<std::size_t>(*static_cast<const E*>(value))]);
      };
      return info;
    }();
    return kInfo;
  }
};

template <class E>
std::string_view choice_name(E value) {
  return ChoiceNames<E>::names[static_cast<std::size_t>(value)];
}

}  // namespace tautmark
