// SPDX-License-Identifier: Apache-2.0
// The manifest of a packed case, pack/1; described in docs/formats/pack.md.
#pragma once

#include <string>

#include "base/tree.h"
#include "casework/pack.h"

namespace tautmark {

std::string manifest_text(const PackManifest& manifest);
// `name` stands in front of its mistakes. Keys that are not known are passed over.
Parsed<PackManifest> read_manifest(const std::string& name, std::string text);

}  // namespace tautmark
