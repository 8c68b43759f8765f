// SPDX-License-Identifier: Apache-2.0
#include "drive/drive_fields.h"
#include "serve/openapi_findings.h"
#include "serve/openapi_words.h"

namespace tautmark {
namespace {

using namespace schema;  // NOLINT(google-build-using-namespace): the words of this file

template <class E>
Json choice() {
  return any_of(ChoiceNames<E>::names);
}

void add_beside(Json& schemas) {
  const Json drive = object("A drive, as a column.", {{"name", text()}, {"title", text()}},
                            {{"revision", text()}, {"checked_by", text()}, {"invented", truth()}});
  const Json cell = object("Null: not in the definition.",
                           {{"text", or_null("string")}, {"unconfirmed", truth()}});
  const Json row =
      object("A row; one cell of each drive.",
             {{"group", text()}, {"what", text()}, {"same", truth()}, {"cells", list_of(cell)}});
  schemas["procedure_beside"] = object("procedure-beside/1: drives of one family side by side.",
                                       {{"schema", constant("procedure-beside/1")},
                                        {"drives", list_of(drive)},
                                        {"rows", list_of(row)},
                                        {"same", whole()}});
}

}  // namespace

void add_author_schemas(Json& schemas) {
  add_beside(schemas);
  schemas["authored_finding"] =
      object("What the lint finds. Step 0: the definition as a whole.", {{"step", whole()},
                                                                         {"is_error", truth()},
                                                                         {"file", text()},
                                                                         {"line", whole()},
                                                                         {"column", whole()},
                                                                         {"message", text()},
                                                                         {"hint", text()}});
  schemas["authored_step"] =
      object("A step, and the state of the engine around it in the written order.",
             {{"number", whole()},
              {"name", text()},
              {"what", text()},
              {"is_own", truth()},
              {"line", whole()},
              {"needs", list_of(text())},
              {"gives", list_of(text())},
              {"ends", list_of(text())},
              {"by_rule", list_of(text())},
              {"before", list_of(text())},
              {"after", list_of(text())}},
             {{"stage", choice<WorkStage>()}, {"gate", choice<GateWants>()}, {"bank", whole()}});
  const Json figure =
      object("One after the other.", Json::object(), {{"torque", text()}, {"angle", text()}});
  const Json fastener =
      object("A fastener, as typed.", {{"name", text()}, {"steps", list_of(figure)}});
  schemas["authored"] = object("authored/1: a definition for who writes its procedure.",
                               {{"schema", constant("authored/1")},
                                {"is_readable", truth()},
                                {"findings", list_of(ref("authored_finding"))},
                                {"steps", list_of(ref("authored_step"))},
                                {"facts", list_of(text())},
                                {"fasteners", list_of(fastener)},
                                {"parts", list_of(text())}});
}

}  // namespace tautmark
