// SPDX-License-Identifier: Apache-2.0
#include "casework/case_fields.h"
#include "parts/coverage.h"
#include "serve/openapi_findings.h"
#include "serve/openapi_words.h"

namespace tautmark {
namespace {

using namespace schema;  // NOLINT(google-build-using-namespace): the words of this file

Json aspects() { return list_of(any_of(ChoiceNames<BesideOld>::names)); }

Json standings() {
  using parts::Standing;
  Json words = text();
  for (const Standing one :
       {Standing::to_order, Standing::ordered, Standing::in_the_box, Standing::fitted})
    words["enum"].push_back(parts::standing_text(one));
  return words;
}

Json coverings() {
  using parts::Covered;
  Json words = text();
  for (const Covered one : {Covered::by_set, Covered::gap, Covered::not_needed, Covered::not_known})
    words["enum"].push_back(parts::covered_text(one));
  return words;
}

Json row() {
  return object("A part on the list.",
                {{"part", text()},
                 {"bank", or_null("integer")},
                 {"count", or_null("integer")},
                 {"only_if", whole()},
                 {"only_if_words", text()},
                 {"from", list_of(text())},
                 {"standing", standings()},
                 {"compare", aspects()},
                 {"why", list_of(object("One reason, and the entry that it rests on.",
                                        {{"words", text()}, {"entry", or_null("string")}}))}});
}

Json set() {
  return object("A set as the definition lists it, and what the case says of it.",
                {{"name", text()},
                 {"bank", or_null("integer")},
                 {"edition", or_null("string")},
                 {"date", or_null("string")},
                 {"holds", list_of(text())},
                 {"does_not_hold", list_of(text())},
                 {"compare", aspects()},
                 {"ordered", list_of(text())},
                 {"opened", list_of(text())},
                 {"found", list_of(text())},
                 {"alike", aspects()},
                 {"differs", aspects()}});
}

}  // namespace

void add_parts_schemas(Json& schemas) {
  schemas["part_row"] = row();
  schemas["part_set"] = set();
  schemas["part_not_ordered"] = object(
      "A part that is not ordered, with the reason.",
      {{"part", text()}, {"bank", or_null("integer")}, {"words", text()}, {"entry", text()}});
  schemas["part_open"] =
      object("What is not known or not decided.", {{"part", text()},
                                                   {"bank", or_null("integer")},
                                                   {"words", text()},
                                                   {"entries", list_of(text())}});
  schemas["part_conflict"] =
      object("What does not go together.", {{"subject", text()},
                                            {"verdict", one_of({"fail", "open"})},
                                            {"why", text()},
                                            {"next", text()},
                                            {"entries", list_of(text())}});
  schemas["parts_of_drive"] =
      object("The list for one definition.", {{"drive", text()},
                                              {"cautions", list_of(text())},
                                              {"rows", list_of(ref("part_row"))},
                                              {"not_ordered", list_of(ref("part_not_ordered"))},
                                              {"open", list_of(ref("part_open"))},
                                              {"decided_in_words", list_of(text())},
                                              {"conflicts", list_of(ref("part_conflict"))},
                                              {"sets", list_of(ref("part_set"))}});
  schemas["parts_list"] = object("parts/1: the list of parts of a case or of a definition.",
                                 {{"schema", constant("parts/1")},
                                  {"case", or_null("string")},
                                  {"drives", list_of(ref("parts_of_drive"))},
                                  {"after_record", or_null("integer")}});
  const Json cell =
      object("A part of one definition.",
             {{"covered", coverings()}, {"count", or_null("integer")}, {"sets", list_of(text())}});
  schemas["parts_coverage"] = object(
      "parts-coverage/1: sets against definitions.",
      {{"schema", constant("parts-coverage/1")},
       {"drives", list_of(text())},
       {"rows", list_of(object(
                    "A part, one cell for each definition.",
                    {{"part", text()}, {"bank", or_null("integer")}, {"cells", list_of(cell)}}))}});
}

}  // namespace tautmark
