// SPDX-License-Identifier: Apache-2.0
#include "report/fastener_json.h"

#include <nlohmann/json.hpp>

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

}  // namespace

std::vector<std::string> figure_cautions(const LoadedDrive& drive) {
  std::vector<std::string> cautions;
  if (drive.drive.invented.value_or(false))
    cautions.emplace_back("An invented engine, not for real work.");
  if (!drive.drive.checked_by) cautions.emplace_back("The definition was checked by nobody.");
  if (drive.differs_from_shop)
    cautions.emplace_back("The definition lies with the case and differs from the shop's own.");
  if (drive.unconfirmed.contains(std::string(topic::kTorques)))
    cautions.emplace_back(kTorquesUnconfirmed);
  return cautions;
}

Json fastener_json(const FastenerCard& card) {
  const Fastener& fastener = *card.fastener;
  Json steps = Json::array();
  for (const StepCard& step : card.steps) {
    steps.push_back({{"target", step.target},
                     {"torque_Nm", step.torque ? Json(step.torque->si()) : Json(nullptr)},
                     {"angle_deg", step.angle ? Json(in_deg(*step.angle)) : Json(nullptr)},
                     {"wrench", step.wrench},
                     {"no_wrench", step.no_wrench},
                     {"to_check", step.to_check}});
  }
  return {{"fastener", fastener.name},
          {"bank", or_null(fastener.bank)},
          {"thread", or_null(fastener.thread)},
          {"strength_class", or_null(fastener.strength_class)},
          {"count", or_null(fastener.count)},
          {"take_new", card.take_new},
          {"use", card.use},
          {"steps", std::move(steps)},
          {"order", card.order},
          {"asks", card.asks},
          {"clamp_load", card.clamp_load},
          {"cautions", card.cautions}};
}

Json tightening_json(const LoadedDrive& drive, std::span<const FastenerCard> cards) {
  Json fasteners = Json::array();
  for (const FastenerCard& card : cards) fasteners.push_back(fastener_json(card));
  return {{"drive", drive.drive.name},
          {"cautions", figure_cautions(drive)},
          {"fasteners", std::move(fasteners)}};
}

}  // namespace tautmark
