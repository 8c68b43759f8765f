// SPDX-License-Identifier: Apache-2.0
// The sections of the printed job sheet, each from the judgement and the case to markup.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "judge/judge.h"

namespace tautmark::html {

// One for each drive in use (candidates that an identification ruled out are left out), or one
// without drive.
std::vector<CheckInput> inputs_in_use(const Judgement& judgement, const LoadedCase& loaded);

std::string title_block(const Judgement& judgement, const LoadedCase& loaded);
std::string headline_block(const Judgement& judgement);
std::string turning_block(const TurningAnswer& turning);

std::string record_section(int number, const LoadedCase& loaded);
std::string drawing_section(int number, const Judgement& judgement, const LoadedCase& loaded);
std::string findings_section(int number, const Judgement& judgement);
std::string readings_section(int number, const Judgement& judgement, const LoadedCase& loaded);
std::string pressure_table(const Judgement& judgement, const std::vector<CheckInput>& inputs);
std::string fasteners_section(int number, const Judgement& judgement, const LoadedCase& loaded);
std::string parts_section(int number, const Judgement& judgement, const LoadedCase& loaded);
// Steps in all units, boxes for each bolt.
std::string fastener_table(std::span<const Fastener* const> fasteners);
std::string always_list();  // the cautions that hold at every engine
std::string limits_section(int number, const Judgement& judgement);
std::string signatures_section(int number);

}  // namespace tautmark::html
