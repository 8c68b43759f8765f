// SPDX-License-Identifier: Apache-2.0
// Of the field descriptions of the API only.
#pragma once

#include "base/fields.h"

namespace tautmark {

inline const FieldOptions kAlways{.required = true};    // lists
inline const FieldOptions kMayLack{.required = false};  // texts
inline const FieldOptions kCount{.bounds = Bounds{0}};
inline constexpr std::string_view kTime = "2026-11-03T14:05:09.250000Z";
inline constexpr std::string_view kHash =
    "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08";

}  // namespace tautmark
