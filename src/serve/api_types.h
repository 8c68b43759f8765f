// SPDX-License-Identifier: Apache-2.0
// What the API takes and gives, as described structs: the same descriptions read requests, write
// answers and make openapi.json. Times are RFC 3339 text in UTC (time_text of store/database.h).
// Lists are written also when they are empty; a text that may be absent is absent when empty.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/fields.h"
#include "casework/case.h"
#include "quick/quick.h"
#include "store/accounts.h"

namespace tautmark {

struct Mistake {
  std::string file;
  int line = 0, column = 0;  // from 1; 0: the file as a whole
  std::string message;
  std::string hint;
};
struct Problem {
  std::string title;
  int status = 0;
  std::string detail;
  std::vector<Mistake> mistakes;
};

// --- who is here ------------------------------------------------------------------------------

struct Status {
  std::string program;     // "tautmark 0.1.0"
  std::string api;         // kApiVersion
  std::string store_kind;  // "embedded", "server"
  bool read_only = false;
  std::int64_t cases = 0;
  bool shared = false;  // on the network, with log-in
  bool paired = false;  // the device that asks
  std::string time;
};
struct Me {
  std::string name;
  Role role = Role::read;
  std::string device, expires;
  std::string note{};  // why the role is less than the account's
};
struct LoginRequest {
  std::string name, password;
};
struct PinLogin {
  std::string name, pin;
};
struct PairRequest {
  std::string code, name;
};
struct PairingCode {
  std::string code, expires;
};
struct AccountRow {
  std::string name;
  Role role = Role::read;
  bool has_password = false, has_pin = false, disabled = false;
  std::string created;
};
struct AccountList {
  std::vector<AccountRow> accounts;
};
struct NewAccount {
  std::string name;
  Role role = Role::read;
  std::string password;
};
struct AccountChange {  // only what is given changes
  std::optional<Role> role;
  std::optional<std::string> password, pin;
  std::optional<bool> disabled;
};
struct OwnChange {  // only what is given changes
  std::string old_password;
  std::optional<std::string> pin, password;
};
struct DeviceRow {
  std::string id;  // hash of its token
  std::string name, created, last_seen;
  bool revoked = false;
};
struct DeviceList {
  std::vector<DeviceRow> devices;
};
struct AuditRow {
  std::int64_t number = 0;
  std::string at, who, what, subject, detail, hash;
};
struct AuditList {
  std::vector<AuditRow> entries;
};

// --- cases ------------------------------------------------------------------------------------

struct CaseInShort {
  std::string uid, name, title, drive;
  bool invented = false;
  std::string created, changed;
  std::string keep_until;  // empty: no date set
  std::int64_t entries = 0, head_seq = 0;
  std::string head_hash;
};
struct CaseList {
  std::vector<CaseInShort> cases;
  std::int64_t found = 0;
  bool more = false;  // more than `found`: counting stopped there
};
// Some of a case's own fields, described where the case is. The case is the first and only member.
struct NewCase {
  Case head;  // its name and all that stands before the entries
};
struct CaseHead {
  Case head;  // those before the entries; what is absent stays as it is
};
struct NewEntry {
  Entry entry;  // without an id the store gives the next one
};
struct ImportResult {
  CaseInShort summary;
  std::int64_t records_added = 0;
  bool rewritten = false;
};
struct ReceiptRow {
  std::int64_t seq = 0;
  std::string id;  // of an entry
  std::string hash, at, seat;
};
struct AppendRequest {
  NewEntry entry;
  std::string key;
};
struct StoredEntry {
  std::int64_t seq = 0;
  std::string at, seat, hash;
  Entry entry;
};
struct CaseView {
  CaseInShort summary;
  Case value;
  std::vector<ReceiptRow> receipts;  // one for each entry, in their order
  std::vector<Mistake> mistakes;     // why the case does not load as a whole
};
struct RecordRow {
  std::int64_t seq = 0;
  std::string kind, entry_id, client_key, at, seat, body, hash;
};
struct RecordList {
  std::string uid;
  std::vector<RecordRow> records;
};
struct VerifyResult {
  bool holds = false;
  std::string head_hash;
  std::vector<std::string> problems, notes;
};
struct DeleteRequest {
  std::string reason;
};
struct KeepRequest {
  std::string until, reason;
};
struct FileRow {
  std::string name;
  std::int64_t bytes = 0;
  std::string sha256;
};
struct FileList {
  std::vector<FileRow> files;
};

// --- drives -----------------------------------------------------------------------------------

struct DriveRow {
  std::string name, title, revision, checked_by, based_on;
};
struct DriveList {
  std::vector<DriveRow> drives;
};
struct MissingRow {
  std::string what, how;
};
struct LevelRow {
  std::string level, question;
  bool can_answer = false;
  std::string detail;
  std::vector<MissingRow> missing;
};
struct DriveCheck {
  std::string name;
  std::vector<LevelRow> levels;
  std::vector<Mistake> warnings;
};
struct DriveText {
  std::string text;  // YAML or JSON of a definition
  std::string name;  // of its file, without the ending; empty: not said
};
struct DriveTextChecked {
  std::vector<Mistake> mistakes;
  std::optional<DriveCheck> check;  // of a definition that can be read
  std::string drawing;              // SVG; empty: there is nothing to draw
};
struct DriveToSave {
  std::string text;
  std::string replaces;  // SHA-256 of the text that it takes the place of; empty: there is none
};
struct DriveSaved {
  std::string name, file, sha256;
  std::string kept;  // what the text before is called now; empty: there was none
};
struct DifferenceRow {
  std::string field, here, there, where_it_bites;
};
struct DriveDifferences {
  std::vector<DifferenceRow> differences;
};

// --- quick answers ----------------------------------------------------------------------------

struct QuickInputRow {
  std::string name, ask;
  quick::Form form{};
  std::string kind;  // of the quantity, where there is one kind only
  bool is_required = false;
  std::string example;
  std::vector<std::string> choices;
};
struct QuickQuestionRow {
  std::string name, help;
  std::vector<QuickInputRow> inputs;
};
struct QuickList {
  std::vector<QuickQuestionRow> questions;
};
struct QuickSaid {
  std::string input, text;
};
struct QuickTyped {
  std::vector<QuickSaid> typed;
};

template <>
struct ChoiceNames<Role> {
  static constexpr std::string_view names[] = {"read", "write", "manage"};
};
template <>
struct ChoiceNames<quick::Form> {
  static constexpr std::string_view names[] = {
      "quantity", "reading", "angle", "angles", "interval", "count", "counts", "choice", "words"};
};

// Also for api_types_motion.h.
#define TAUTMARK_API_TYPE(type, key, words)         \
  template <>                                       \
  struct Description<type> {                        \
    static constexpr std::string_view name = key;   \
    static constexpr std::string_view help = words; \
    static std::span<const FieldInfo> fields();     \
  };
TAUTMARK_API_TYPE(Mistake, "mistake", "One mistake in what was sent, at its place.")
TAUTMARK_API_TYPE(Problem, "problem", "Why it was not done (RFC 9457).")
TAUTMARK_API_TYPE(Status, "status", "The program and its store.")
TAUTMARK_API_TYPE(Me, "me", "Who is logged in.")
TAUTMARK_API_TYPE(LoginRequest, "login request", "Log-in with a password.")
TAUTMARK_API_TYPE(PinLogin, "pin login", "Log-in with a PIN, from a paired device.")
TAUTMARK_API_TYPE(PairRequest, "pair request", "A tablet gives back the code it was shown.")
TAUTMARK_API_TYPE(PairingCode, "pairing code", "A code for one tablet.")
TAUTMARK_API_TYPE(AccountRow, "account row", "An account.")
TAUTMARK_API_TYPE(AccountList, "account list", "All accounts.")
TAUTMARK_API_TYPE(NewAccount, "new account", "An account to be made.")
TAUTMARK_API_TYPE(AccountChange, "account change", "What is to change; the rest stays.")
TAUTMARK_API_TYPE(OwnChange, "own change", "What is to change of one's own; the rest stays.")
TAUTMARK_API_TYPE(DeviceRow, "device row", "A paired device.")
TAUTMARK_API_TYPE(DeviceList, "device list", "All paired devices.")
TAUTMARK_API_TYPE(AuditRow, "audit row", "One noted act.")
TAUTMARK_API_TYPE(AuditList, "audit list", "Acts in their order.")
TAUTMARK_API_TYPE(CaseInShort, "case row", "A case in the store, in short.")
TAUTMARK_API_TYPE(CaseList, "case list", "Cases that were found, the last changed first.")
TAUTMARK_API_TYPE(NewCase, "new case", "A case to be made.")
TAUTMARK_API_TYPE(CaseHead, "case head",
                  "What stands before the entries of a case. What is absent stays as it is.")
TAUTMARK_API_TYPE(ImportResult, "import result", "What an import brought.")
TAUTMARK_API_TYPE(ReceiptRow, "receipt", "The record is safe: its place in the chain.")
TAUTMARK_API_TYPE(AppendRequest, "append request", "One entry to be added.")
TAUTMARK_API_TYPE(StoredEntry, "stored entry", "An entry as it was stored.")
TAUTMARK_API_TYPE(CaseView, "case view", "A case with the receipts of its entries.")
TAUTMARK_API_TYPE(RecordRow, "record row", "One record of the chain, as its hash counts it.")
TAUTMARK_API_TYPE(RecordList, "record list", "Records of a case in their order.")
TAUTMARK_API_TYPE(VerifyResult, "verify result", "Whether the chain of a case holds.")
TAUTMARK_API_TYPE(DeleteRequest, "delete request", "Why a case is deleted; kept in the audit.")
TAUTMARK_API_TYPE(KeepRequest, "keep request", "Until when a case may not be deleted.")
TAUTMARK_API_TYPE(FileRow, "file row", "A file beside the case.")
TAUTMARK_API_TYPE(FileList, "file list", "The files beside the case.")
TAUTMARK_API_TYPE(DriveRow, "drive row", "A definition, in short.")
TAUTMARK_API_TYPE(DriveList, "drive list", "The definitions at hand.")
TAUTMARK_API_TYPE(MissingRow, "missing row", "A number that would unlock an answer.")
TAUTMARK_API_TYPE(LevelRow, "level row", "A question, and whether the definition can answer it.")
TAUTMARK_API_TYPE(DriveCheck, "drive check", "What a definition can answer.")
TAUTMARK_API_TYPE(DriveText, "drive text", "The text of a definition.")
TAUTMARK_API_TYPE(DriveTextChecked, "drive text checked", "What the text of a definition says.")
TAUTMARK_API_TYPE(DriveToSave, "drive to save", "The text of a definition, to be kept.")
TAUTMARK_API_TYPE(DriveSaved, "drive saved", "A definition as it is kept now.")
TAUTMARK_API_TYPE(DifferenceRow, "difference", "One field in which two definitions differ.")
TAUTMARK_API_TYPE(DriveDifferences, "drive differences", "Where two definitions differ.")
TAUTMARK_API_TYPE(QuickInputRow, "quick input", "What a quick question asks for.")
TAUTMARK_API_TYPE(QuickQuestionRow, "quick question", "A question answered without a case.")
TAUTMARK_API_TYPE(QuickList, "quick list", "The questions answered without a case.")
TAUTMARK_API_TYPE(QuickSaid, "quick said", "What was said to one input.")
TAUTMARK_API_TYPE(QuickTyped, "quick typed", "What was said so far.")

template <>
struct Description<NewEntry> {
  static constexpr std::string_view name = "new entry";
  static constexpr std::string_view help = "An entry to be added.";
  static const TagInfo& tag();
  static std::span<const FieldInfo> fields();
};

inline constexpr std::string_view kApiVersion = "1";

// JSON of an answer.
template <class T>
std::string api_json(const T& value) {
  return json_text(write_record(value));
}

// A request's body; every mistake at its place, the file being called "request".
template <class T>
Parsed<T> api_value(std::string body) {
  auto node = parse_json(make_text_file("request", std::move(body)));
  if (!node) return tl::make_unexpected(std::move(node.error()));
  Diagnostics diagnostics;
  ReadContext context;
  context.diagnostics = &diagnostics;
  if (const Node* sign = node->find("decimal_sign"); sign != nullptr && sign->text == "comma")
    context.rules.decimal_sign = ',';
  T value;
  if (!read_record(*node, value, context)) return tl::make_unexpected(std::move(diagnostics));
  return value;
}

std::vector<Mistake> mistakes_of(const Diagnostics& diagnostics);

}  // namespace tautmark
