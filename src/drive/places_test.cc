// SPDX-License-Identifier: Apache-2.0
#include "drive/places.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace tautmark {
namespace {

using ::testing::ElementsAre;

Camshaft camshaft(std::string name, std::optional<int> journals, bool has_phaser = false) {
  Camshaft result;
  result.name = std::move(name);
  result.journals = journals;
  if (has_phaser) result.phaser = Phaser{};
  return result;
}

Drive two_banks() {
  Drive drive;
  for (const int number : {1, 2}) {
    Bank bank;
    bank.number = number;
    bank.camshafts = {camshaft("intake", 2, true), camshaft("exhaust", 1)};
    drive.banks.push_back(bank);
    Chain chain;
    chain.name = "bank " + std::to_string(number) + " chain";
    chain.bank = number;
    chain.tensioner = Tensioner{};
    chain.guides = {{"fixed guide", {}}};
    drive.chains.push_back(chain);
  }
  drive.oil = Oil{};
  drive.oil->ports = {{"main gallery", {}}, {"head port", 2}};
  return drive;
}

std::vector<std::string> matches(const Drive& drive, std::string_view pattern) {
  std::vector<std::string> paths;
  for (const EnginePlace& place : places_of(drive))
    if (place_matches(pattern, place)) paths.push_back(place.path);
  return paths;
}

TEST(PlacesOf, NamesEverythingInTheOrderOfTheFile) {
  std::vector<std::string> paths;
  const Drive drive = two_banks();
  for (const EnginePlace& place : places_of(drive)) paths.push_back(place.path);
  EXPECT_THAT(
      paths,
      ElementsAre("bank 1 / intake", "bank 1 / intake / journal 1", "bank 1 / intake / journal 2",
                  "bank 1 / intake / phaser", "bank 1 / exhaust", "bank 1 / exhaust / journal 1",
                  "bank 2 / intake", "bank 2 / intake / journal 1", "bank 2 / intake / journal 2",
                  "bank 2 / intake / phaser", "bank 2 / exhaust", "bank 2 / exhaust / journal 1",
                  "bank 1 chain", "bank 1 chain / tensioner", "bank 1 chain / fixed guide",
                  "bank 2 chain", "bank 2 chain / tensioner", "bank 2 chain / fixed guide",
                  "main gallery", "bank 2 / head port"));
}

TEST(PlacesOf, HasNoJournalsWhereTheirNumberIsNotKnown) {
  Drive drive;
  Bank bank;
  bank.number = 1;
  bank.camshafts = {camshaft("camshaft", std::nullopt)};
  drive.banks = {bank};
  EXPECT_EQ(places_of(drive).size(), 1U);
}

TEST(PlaceMatches, TakesOnePlaceOrEveryPlaceOfAKind) {
  const Drive drive = two_banks();
  EXPECT_THAT(matches(drive, "Bank 1 /  INTAKE/journal 2"),
              ElementsAre("bank 1 / intake / journal 2"));
  EXPECT_EQ(matches(drive, "every journal").size(), 6U);
  EXPECT_THAT(matches(drive, "bank 2 / every journal"),
              ElementsAre("bank 2 / intake / journal 1", "bank 2 / intake / journal 2",
                          "bank 2 / exhaust / journal 1"));
  EXPECT_THAT(matches(drive, "every bank / exhaust / every journal"),
              ElementsAre("bank 1 / exhaust / journal 1", "bank 2 / exhaust / journal 1"));
  EXPECT_EQ(matches(drive, "every camshaft").size(), 4U);
  EXPECT_THAT(matches(drive, "every chain"), ElementsAre("bank 1 chain", "bank 2 chain"));
  EXPECT_THAT(matches(drive, "every tensioner").size(), 2U);
  EXPECT_THAT(matches(drive, "every head port"), ElementsAre("bank 2 / head port"));
  EXPECT_THAT(matches(drive, "every port").size(), 2U);
}

TEST(PlaceMatches, TakesNothingForWhatIsNoPlace) {
  const Drive drive = two_banks();
  for (const char* pattern :
       {"", "/", "every", "every ", "every jurnal", "every journals", "bank 3 / every journal",
        "bank 1 / intake / journal 3", "bank 1 / intake / journal 1 / front", "journal 1",
        "every bank", "left bank / every journal", "bank 1", "a / b / c / d / every journal"})
    EXPECT_TRUE(matches(drive, pattern).empty()) << pattern;
}

TEST(FindPlace, ComparesWithoutCaseAndBlanks) {
  const Drive drive = two_banks();
  const auto places = places_of(drive);
  ASSERT_NE(find_place(places, " bank 1/Intake / JOURNAL  2 "), nullptr);
  EXPECT_EQ(find_place(places, "bank 1 / intake / journal 2")->number, 2);
  EXPECT_EQ(find_place(places, "every journal"), nullptr);
  EXPECT_EQ(find_place(places, ""), nullptr);
}

TEST(FitFor, PrefersThePlaceOverTheLongerOverTheShorterPattern) {
  Drive drive = two_banks();
  const auto places = places_of(drive);
  const EnginePlace& place = *find_place(places, "bank 2 / intake / journal 1");
  const auto add = [&](std::string at) {
    Fit fit;
    fit.quantity = Measurand::journal_diameter;
    fit.at = std::move(at);
    drive.fits.push_back(fit);
  };
  EXPECT_EQ(fit_for(drive, Measurand::journal_diameter, place), nullptr);
  add("every journal");
  EXPECT_EQ(fit_for(drive, Measurand::journal_diameter, place)->at, "every journal");
  EXPECT_EQ(fit_for(drive, Measurand::bore_diameter, place), nullptr);
  add("bank 2 / every journal");
  EXPECT_EQ(fit_for(drive, Measurand::journal_diameter, place)->at, "bank 2 / every journal");
  add("bank 2 / intake / journal 1");
  add("bank 2 / intake / every journal");
  EXPECT_EQ(fit_for(drive, Measurand::journal_diameter, place)->at, "bank 2 / intake / journal 1");
  const EnginePlace& other = *find_place(places, "bank 1 / intake / journal 1");
  EXPECT_EQ(fit_for(drive, Measurand::journal_diameter, other)->at, "every journal");
}

TEST(ChainOf, IsTheNamedOneTheOnlyOneOrTheBanks) {
  Drive drive = two_banks();
  const Bank& bank = drive.banks[1];
  EXPECT_EQ(chain_of(drive, bank, bank.camshafts[0])->name, "bank 2 chain");
  drive.banks[1].camshafts[0].chain = "Bank 1 Chain";
  EXPECT_EQ(chain_of(drive, bank, bank.camshafts[0])->name, "bank 1 chain");
  drive.banks[1].camshafts[0].chain = "no such chain";
  EXPECT_EQ(chain_of(drive, bank, bank.camshafts[0]), nullptr);
  Chain second;
  second.name = "another chain";
  second.bank = 2;
  drive.chains.push_back(second);
  EXPECT_EQ(chain_of(drive, bank, bank.camshafts[1]), nullptr);  // which of the two is not said
  drive.chains.resize(1);
  EXPECT_EQ(chain_of(drive, bank, bank.camshafts[1])->name, "bank 1 chain");
}

TEST(CrankSprocketOf, IsTheNamedOneOrTheOnlyUnnamedOne) {
  Drive drive = two_banks();
  EXPECT_EQ(crank_sprocket_of(drive, drive.chains[0]), nullptr);
  drive.crankshaft = Crankshaft{};
  drive.crankshaft->sprockets = {{std::nullopt, 21}};
  EXPECT_EQ(crank_sprocket_of(drive, drive.chains[1])->teeth, 21);
  drive.crankshaft->sprockets = {{"bank 1 chain", 21}, {"Bank 2 chain", 22}};
  EXPECT_EQ(crank_sprocket_of(drive, drive.chains[1])->teeth, 22);
  drive.crankshaft->sprockets = {{"bank 1 chain", 21}};
  EXPECT_EQ(crank_sprocket_of(drive, drive.chains[1]), nullptr);
}

}  // namespace
}  // namespace tautmark
