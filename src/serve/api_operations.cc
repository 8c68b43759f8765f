// SPDX-License-Identifier: Apache-2.0
#include "serve/api_operations.h"

#include "casework/case_fields.h"
#include "drive/drive_fields.h"
#include "serve/api_types_motion.h"
#include "serve/api_types_oil.h"

namespace tautmark {
namespace {

constexpr int kNobody = -1, kRead = 0, kWrite = 1, kManage = 2;

const QueryParameter kFileName{"name", "string", "Its name beside the case.", true};

const QueryParameter kCamshaft{"cam", "string", "The camshaft: bank 1 / intake camshaft.", true};
const QueryParameter kError{"error", "integer", "Teeth it is off, positive early; absent: right."};
const QueryParameter kPhaser{"phaser", "string",
                             "Place of its phaser as in clearance/1; absent: phaser locked."};
const QueryParameter kPaper{"paper", "string", "screen, dark or print; absent: screen."};

constexpr Media kText{"text/plain"};
constexpr Media kHtml{"text/html"};
constexpr Media kSvg{"image/svg+xml"};
constexpr Media kZip{"application/zip"};
constexpr Media kBytes{"application/octet-stream"};
constexpr Media kEvents{"text/event-stream"};

template <class T>
ApiBody json() {
  return TypeRef{&type_of<T>};
}
template <class T>
std::vector<ApiAnswer> gives(int status = 200) {
  return {{status, json<T>()}};
}
std::vector<ApiAnswer> gives(ApiBody body) { return {{200, std::move(body)}}; }
std::vector<ApiAnswer> done() { return {{204, {}}}; }

ApiOperation get(std::string_view pattern, std::string_view id, std::string_view summary, int role,
                 std::vector<ApiAnswer> answers, std::vector<QueryParameter> query = {}) {
  return {"GET", pattern, id, summary, role, {}, std::move(answers), std::move(query)};
}

ApiOperation send(std::string_view method, std::string_view pattern, std::string_view id,
                  std::string_view summary, int role, ApiBody request,
                  std::vector<ApiAnswer> answers, std::vector<QueryParameter> query = {}) {
  return {method,          pattern, id, summary, role, std::move(request), std::move(answers),
          std::move(query)};
}

std::vector<ApiOperation> access_operations() {
  return {
      get("/api/status", "status", "The program and its store", kNobody, gives<Status>()),
      get("/api/openapi.json", "openapi", "This document", kNobody, gives(NamedSchema{"openapi"})),
      send("POST", "/api/login", "logIn", "Log in with a password; sets the session's cookie",
           kNobody, json<LoginRequest>(), gives<Me>()),
      send("POST", "/api/login/pin", "logInWithPin",
           "Log in with a PIN, from a paired device; to read and write, not to manage", kNobody,
           json<PinLogin>(), gives<Me>()),
      send("POST", "/api/logout", "logOut", "End the session", kRead, {}, done()),
      get("/api/me", "me", "Who is logged in", kRead, gives<Me>()),
      send("PUT", "/api/me", "changeMe",
           "Set one's own PIN or password; a new password ends every session of the account", kRead,
           json<OwnChange>(), done()),
      get("/api/events", "events", "Live updates (server-sent events): what changed in which case",
          kRead, gives(kEvents), {{"case", "string", "Of this case only."}}),
      get("/api/audit", "listAudit", "Acts noted: log-in, export, deletion", kManage,
          gives<AuditList>(),
          {{"after", "integer", "Numbers after this one."},
           {"limit", "integer", "At most so many."}}),
      get("/api/accounts", "listAccounts", "All accounts", kManage, gives<AccountList>()),
      send("POST", "/api/accounts", "addAccount", "Make an account", kManage, json<NewAccount>(),
           gives<AccountRow>(201)),
      send("PUT", "/api/accounts/{name}", "changeAccount",
           "Change role, password or PIN, or disable it", kManage, json<AccountChange>(),
           gives<AccountRow>()),
      get("/api/devices", "listDevices", "Paired devices", kManage, gives<DeviceList>()),
      send("POST", "/api/pairing", "newPairingCode", "A code for one tablet, good for ten minutes",
           kManage, {}, gives<PairingCode>(201)),
      send("POST", "/api/pair", "pair", "Pair this device; sets the device's cookie", kNobody,
           json<PairRequest>(), done()),
      send("DELETE", "/api/devices/{id}", "revokeDevice", "The device may not be used any more",
           kManage, {}, done()),
  };
}

std::vector<ApiOperation> case_operations() {
  return {
      get("/api/cases", "listCases", "Search, the last changed first", kRead, gives<CaseList>(),
          {{"q", "string", "Words, \"phrases\", field:word."},
           {"limit", "integer", "At most so many."},
           {"offset", "integer", "Leave out so many."}}),
      send("POST", "/api/cases", "newCase", "Start a case", kWrite, json<NewCase>(),
           gives<CaseInShort>(201)),
      send("POST", "/api/cases/import", "importCase", "A packed case into the store", kWrite, kZip,
           {{201, json<ImportResult>()}, {200, json<ImportResult>()}},
           {{"name", "string", "Another name than its own."}}),
      get("/api/cases/{case}", "getCase", "A case", kRead, gives<CaseView>()),
      send("DELETE", "/api/cases/{case}", "deleteCase", "Delete a case, noted with name and reason",
           kManage, json<DeleteRequest>(), done()),
      send("POST", "/api/cases/{case}/entries", "addEntry", "Add an entry", kWrite,
           json<AppendRequest>(), {{201, json<StoredEntry>()}, {200, json<StoredEntry>()}}),
      send("POST", "/api/cases/{case}/head", "changeHead", "Change what stands before the entries",
           kWrite, json<CaseHead>(), gives<ReceiptRow>(201)),
      get("/api/cases/{case}/findings", "findings", "All findings, findings/1", kRead,
          gives(NamedSchema{"findings"})),
      get("/api/cases/{case}/work", "caseWork",
          "The work step by step, where it stands, fasteners and parts, work/1", kRead,
          gives(NamedSchema{"work"})),
      get("/api/cases/{case}/traces/{entry}", "caseTrace",
          "What a recorded tightening shows, tightening-trace/1", kRead,
          gives(NamedSchema{"tightening_trace"})),
      get("/api/cases/{case}/traces/{entry}/plot", "caseTracePlot", "The same, drawn", kRead,
          gives(kSvg), {{"paper", "string", "screen, dark or print; absent: screen."}}),
      send("POST", "/api/cases/{case}/traces/read", "readTrace",
           "A recorded tightening judged as one of this case before it is kept; nothing is stored",
           kRead, kBytes, gives(NamedSchema{"tightening_trace"}),
           {{"fastener", "string", "As the definition names it.", true},
            {"bank", "integer", "Its bank, from 1, as the entry says it."},
            {"bolt", "integer", "Which of them, from 1."},
            {"step", "integer", "One of its steps, from 1; absent: all of them."},
            {"thread", "string", "Thread with pitch, where the definition lacks it."},
            {"class", "string", "Strength class."},
            {"condition", "string", "Thread and head oiled or dry."}}),
      get("/api/cases/{case}/parts", "caseParts", "The list of parts, with reasons, parts/1", kRead,
          gives(NamedSchema{"parts_list"})),
      get("/api/cases/{case}/brief", "brief", "Five sentences to read aloud", kRead, gives(kText)),
      get("/api/cases/{case}/sheet", "sheet", "The printable job sheet", kRead, gives(kHtml)),
      get("/api/cases/{case}/drawing", "caseDrawing", "The drive as it stands", kRead, gives(kSvg),
          {{"strands", "boolean", "Chains laid straight, to count by."}}),
      get("/api/cases/{case}/motion", "caseMotion", "The drive as it stands, to be turned", kRead,
          gives<Motion>()),
      get("/api/cases/{case}/records", "records", "The chain of records, to check it elsewhere",
          kRead, gives<RecordList>(), {{"after", "integer", "Records after this number."}}),
      get("/api/cases/{case}/verify", "verifyCase", "Does the chain hold?", kRead,
          gives<VerifyResult>(), {{"head", "string", "A hash kept elsewhere that must be in it."}}),
      send("PUT", "/api/cases/{case}/keep", "keepCase", "Until when it may not be deleted", kManage,
           json<KeepRequest>(), gives<CaseInShort>()),
      get("/api/cases/{case}/pack", "packCase", "The case with its files, packed", kRead,
          gives(kZip)),
  };
}

std::vector<ApiOperation> clearance_operations() {
  return {
      get("/api/drives/{drive}/clearance", "driveClearance",
          "Gaps of valve to piston by error in teeth, clearance/1; they allow no turning", kRead,
          gives(NamedSchema{"clearance"})),
      get("/api/cases/{case}/clearance", "caseClearance",
          "The same of the engine of a case, and its way from where it stands, clearance/1", kRead,
          gives(NamedSchema{"clearance"})),
      get("/api/drives/{drive}/clearance/map.svg", "driveClearanceMap",
          "Gaps of one camshaft over crank angle and error, drawn", kRead, gives(kSvg),
          {kCamshaft, kPaper}),
      get("/api/cases/{case}/clearance/map.svg", "caseClearanceMap",
          "The same of the engine of a case; where it has a way, that on it", kRead, gives(kSvg),
          {kCamshaft, kPaper}),
      get("/api/drives/{drive}/clearance/section.svg", "driveClearanceSection",
          "Valve and piston where they are nearest, drawn", kRead, gives(kSvg),
          {kCamshaft, kError, kPhaser, kPaper}),
      get("/api/cases/{case}/clearance/section.svg", "caseClearanceSection",
          "The same of the engine of a case", kRead, gives(kSvg),
          {kCamshaft, kError, kPhaser, kPaper}),
      send("POST", "/api/cases/{case}/clearance/stop", "readStop",
           "What a stop entry says before it is entered; nothing is stored", kRead,
           json<StopReading>(), gives(NamedSchema{"stop_read"})),
      send("POST", "/api/cases/{case}/clearance/indicator", "readIndicator",
           "What an indicator entry says before it is entered; nothing is stored", kRead,
           json<IndicatorReading>(), gives(NamedSchema{"indicator_read"})),
  };
}

std::vector<ApiOperation> oil_operations() {
  return {
      get("/api/cases/{case}/oil", "caseOil",
          "What the gauges tell of the oil of the engine, and what each repair would do, oil/1, "
          "drawn too",
          kRead, gives(NamedSchema{"case_oil"}), {kPaper}),
      send("POST", "/api/cases/{case}/oil/circuit", "solveOilCircuit",
           "The same engine with other clearances of its journals; nothing is stored", kRead,
           json<OilAsked>(), gives(NamedSchema{"oil_circuit"}), {kPaper}),
  };
}

std::vector<ApiOperation> file_operations() {
  return {
      get("/api/cases/{case}/files", "listFiles", "Files beside the case", kRead,
          gives<FileList>()),
      send("POST", "/api/cases/{case}/files", "addFile", "Put a file beside the case; of any size",
           kWrite, kBytes, gives<FileRow>(201),
           {kFileName,
            {"as", "string",
             "recording: what cannot be read as one is refused, and nothing of it is kept; not "
             "looked at in files of 16 MB and more. trace: likewise a torque trace, of 16 MB at "
             "most."}}),
      get("/api/cases/{case}/file", "getFile", "A file beside the case; a part of it by Range",
          kRead, {{200, kBytes}, {206, kBytes}, {304, {}}}, {kFileName}),
      get("/api/cases/{case}/recording", "recording", "What a recording says, recording/1", kRead,
          gives(NamedSchema{"recording_report"}), {kFileName}),
      get("/api/cases/{case}/recording/plot", "recordingPlot", "The same, drawn", kRead,
          gives(kSvg), {kFileName}),
      get("/api/cases/{case}/recording/marks", "recordingMarks",
          "Decoded teeth and cam edges of a stretch of time", kRead, gives<DecodedMarks>(),
          {kFileName,
           {"from", "number", "s; absent: the beginning."},
           {"to", "number", "s; absent: the end."},
           {"most", "integer", "1 to 20000; absent: 2000. More than that: none is told."}}),
      get("/api/cases/{case}/recording/wave", "recordingWave",
          "Least and greatest value of each bin of time: docs/formats/wave.md", kRead,
          gives(kBytes),
          {kFileName,
           {"channel", "integer", "From 1, the time column excluded.", true},
           {"from", "number", "s; absent: the beginning; no further outside than its length."},
           {"to", "number", "s; absent: the end."},
           {"bins", "integer", "1 to 16384; absent: 1024."}}),
      get("/api/drives", "listDrives", "Definitions at hand", kRead, gives<DriveList>()),
      get("/api/drives/{drive}", "getDrive", "A definition, drive/1", kRead, gives<Drive>()),
      get("/api/drives/{drive}/drawing", "driveDrawing", "A definition, drawn", kRead, gives(kSvg),
          {{"strands", "boolean", "Chains laid straight, to count by."}}),
      get("/api/drives/{drive}/motion", "driveMotion", "A definition, to be turned", kRead,
          gives<Motion>()),
      get("/api/drives/{drive}/work", "driveWork", "The same of a definition alone, work/1", kRead,
          gives(NamedSchema{"work"})),
      get("/api/drives/{drive}/parts", "driveParts",
          "The parts that the whole procedure uses up, parts/1", kRead,
          gives(NamedSchema{"parts_list"})),
      get("/api/parts/coverage", "partsCoverage",
          "Sets against the definitions at hand, parts-coverage/1", kRead,
          gives(NamedSchema{"parts_coverage"})),
      get("/api/drives/{drive}/check", "checkDrive", "What a definition can answer", kRead,
          gives<DriveCheck>()),
  };
}

std::vector<ApiOperation> drive_operations() {
  return {
      send("POST", "/api/drives/check", "checkDriveText", "What the text of a definition says",
           kRead, json<DriveText>(), gives<DriveTextChecked>()),
      send("PUT", "/api/drives/{drive}", "saveDrive",
           "Keep a definition in the shop's folder; what it takes the place of stays beside it",
           kManage, json<DriveToSave>(), {{200, json<DriveSaved>()}, {201, json<DriveSaved>()}}),
      get("/api/drives/{drive}/text", "driveText", "A definition as it is written", kRead,
          gives(kText)),
      get("/api/drives/{drive}/compare", "compareDrives", "Where two definitions differ", kRead,
          gives<DriveDifferences>(), {{"with", "string", "Name of the other one.", true}}),
      send("POST", "/api/drives/author", "authorDrive",
           "The steps of a text, the state around each, what the lint finds, authored/1", kRead,
           json<DriveText>(), gives(NamedSchema{"authored"})),
      get("/api/drives/{drive}/beside", "besideDrives",
          "Two of a family side by side, steps of the work too, procedure-beside/1", kRead,
          gives(NamedSchema{"procedure_beside"}),
          {{"with", "string", "Name of the other one.", true},
           {"all", "boolean", "Also what is the same."}}),
      get("/api/drives/{drive}/sheet", "driveSheet", "The printable data sheet", kRead,
          gives(kHtml)),
  };
}

std::vector<ApiOperation> quick_operations() {
  return {
      get("/api/quick", "listQuick", "Questions answered without a case", kNobody,
          gives<QuickList>()),
      send("POST", "/api/quick/{question}", "askQuick",
           "Answer one of them, or ask back for what is missing", kNobody, json<QuickTyped>(),
           gives(NamedSchema{"quick_outcome"})),
      send("POST", "/practice/api/reset", "resetPractice",
           "Put the practice store back to the demonstration", kWrite, {}, done()),
  };
}

}  // namespace

std::span<const ApiOperation> api_operations() {
  static const std::vector<ApiOperation> kOperations = [] {
    std::vector<ApiOperation> all = access_operations();
    for (auto* group : {&case_operations, &clearance_operations, &oil_operations, &file_operations,
                        &drive_operations, &quick_operations})
      for (ApiOperation& operation : (*group)()) all.push_back(std::move(operation));
    return all;
  }();
  return kOperations;
}

std::vector<int> problem_statuses(const ApiOperation& operation) {
  const bool has_body = !std::holds_alternative<std::monostate>(operation.request);
  const bool names_something = operation.pattern.find('{') != std::string_view::npos;
  std::vector<int> statuses;
  if (has_body || names_something || !operation.query.empty()) statuses.push_back(400);
  if (operation.role >= kRead || operation.pattern.starts_with("/api/login"))
    statuses.push_back(401);
  if (operation.role >= kRead) statuses.push_back(403);
  if (names_something) statuses.push_back(404);
  const bool reads = operation.method == "GET";
  if (!reads)
    for (const int status : {409, 415, 422}) statuses.push_back(status);
  if (has_body) statuses.push_back(413);
  const bool takes_secret = operation.role < kRead || operation.pattern == "/api/me";
  if (takes_secret && !reads && operation.id != "askQuick") statuses.push_back(429);
  statuses.push_back(503);
  return statuses;
}

}  // namespace tautmark
