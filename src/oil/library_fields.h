// SPDX-License-Identifier: Apache-2.0
// The fields of a library of oils, written down once.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "base/fields.h"
#include "oil/library.h"

namespace tautmark {

namespace oil {
struct OilSource {
  std::string name;
  std::string text;
};
struct OilFile {
  std::string format;
  std::vector<OilSource> sources;
  std::vector<OilOfLibrary> oils;
};
}  // namespace oil

template <class T>
struct Description<oil::Sourced<T>> {
  static constexpr std::string_view name = "value with its source";
  static constexpr std::string_view help = "A value and where it comes from.";
  static std::span<const FieldInfo> fields() {
    static const FieldInfo kFields[] = {
        field<&oil::Sourced<T>::value>("value", "The value with its unit.", {},
                                       {.bounds = kPositive}),
        field<&oil::Sourced<T>::source>("source", "The name of one of the file's sources.",
                                        "typical"),
    };
    return kFields;
  }
};
template <>
struct Description<oil::OilSource> {
  static constexpr std::string_view name = "source";
  static constexpr std::string_view help = "Where values come from.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<oil::OilOfLibrary> {
  static constexpr std::string_view name = "oil";
  static constexpr std::string_view help = "One oil.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<oil::OilFile> {
  static constexpr std::string_view name = "oils";
  static constexpr std::string_view help = "A library of oils.";
  static std::span<const FieldInfo> fields();
};

}  // namespace tautmark
