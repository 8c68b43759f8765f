// SPDX-License-Identifier: Apache-2.0
#include "serve/api_types.h"

#include "serve/api_options.h"

namespace tautmark {

std::vector<Mistake> mistakes_of(const Diagnostics& diagnostics) {
  std::vector<Mistake> mistakes;
  for (const Diagnostic& one : diagnostics)
    mistakes.push_back({one.place.file, one.place.line, one.place.column, one.message, one.hint});
  return mistakes;
}

std::span<const FieldInfo> Description<Mistake>::fields() {
  static const FieldInfo kFields[] = {
      field<&Mistake::file>("file", "Name of the file, as it was sent.", "case.yaml", kMayLack),
      field<&Mistake::line>("line", "From 1; 0: the file as a whole.", "12", kCount),
      field<&Mistake::column>("column", "In characters, from 1.", "7", kCount),
      field<&Mistake::message>("message", "What is wrong.", "146000 has no unit"),
      field<&Mistake::hint>("hint", "What to write.", "write \"146000 km\"", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Problem>::fields() {
  static const FieldInfo kFields[] = {
      field<&Problem::title>("title", "In a few words.", "Not found"),
      field<&Problem::status>("status", "Status of the answer.", "404",
                              {.bounds = between(400, 599)}),
      field<&Problem::detail>("detail", "In a sentence.", "there is no case \"bay 7\""),
      field<&Problem::mistakes>("mistakes", "Each mistake in what was sent.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Status>::fields() {
  static const FieldInfo kFields[] = {
      field<&Status::program>("program", "The program and its version.", "tautmark 0.1.0"),
      field<&Status::api>("api", "Version of this API.", kApiVersion),
      field<&Status::store_kind>("store_kind", "embedded (one file) or server (PostgreSQL).",
                                 "embedded"),
      field<&Status::read_only>("read_only", "The store may be read, not written.", "false"),
      field<&Status::cases>("cases", "How many cases it holds.", "12", kCount),
      field<&Status::shared>("shared", "On the network, with log-in and TLS.", "false"),
      field<&Status::paired>("paired", "This device is paired: a PIN is enough here.", "false"),
      field<&Status::time>("time", "The program's clock.", kTime),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Me>::fields() {
  static const FieldInfo kFields[] = {
      field<&Me::name>("name", "Name of the account.", "bay 3"),
      field<&Me::role>("role", "What this session may do: with a PIN, write at most.", "write"),
      field<&Me::device>("device", "The paired device.", "tablet bay 3", kMayLack),
      field<&Me::expires>("expires", "End of the session.", kTime, kMayLack),
      field<&Me::note>("note", "Why the role is less than the account's.",
                       "with a PIN you may write at most; log in with your password for this",
                       kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<LoginRequest>::fields() {
  static const FieldInfo kFields[] = {
      field<&LoginRequest::name>("name", "Name of the account.", "bay 3"),
      field<&LoginRequest::password>("password", "Its password.", "ten letters or more"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PinLogin>::fields() {
  static const FieldInfo kFields[] = {
      field<&PinLogin::name>("name", "Name of the account.", "bay 3"),
      field<&PinLogin::pin>("pin", "Its PIN, 4 to 8 digits.", "4711"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PairRequest>::fields() {
  static const FieldInfo kFields[] = {
      field<&PairRequest::code>("code", "The code shown by the program.", "K7QM-2XFD"),
      field<&PairRequest::name>("name", "Name of the device.", "tablet bay 3"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PairingCode>::fields() {
  static const FieldInfo kFields[] = {
      field<&PairingCode::code>("code", "To be typed on the tablet, once.", "K7QM-2XFD"),
      field<&PairingCode::expires>("expires", "Until when it is good.", kTime),
  };
  return kFields;
}

std::span<const FieldInfo> Description<AccountRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&AccountRow::name>("name", "Name.", "bay 3"),
      field<&AccountRow::role>("role", "What it may do.", "write"),
      field<&AccountRow::has_password>("has_password", "It has a password.", "true"),
      field<&AccountRow::has_pin>("has_pin", "It has a PIN.", "true"),
      field<&AccountRow::disabled>("disabled", "It may not log in.", "false"),
      field<&AccountRow::created>("created", "When it was made.", kTime),
  };
  return kFields;
}

std::span<const FieldInfo> Description<AccountList>::fields() {
  static const FieldInfo kFields[] = {
      field<&AccountList::accounts>("accounts", "All accounts.", "", kAlways)};
  return kFields;
}

std::span<const FieldInfo> Description<NewAccount>::fields() {
  static const FieldInfo kFields[] = {
      field<&NewAccount::name>("name", "Name.", "bay 3"),
      field<&NewAccount::role>("role", "What it may do.", "write"),
      field<&NewAccount::password>("password", "10 to 200 characters.", "ten letters or more"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<AccountChange>::fields() {
  static const FieldInfo kFields[] = {
      field<&AccountChange::role>("role", "What it may do.", "write"),
      field<&AccountChange::password>("password", "A new password.", "ten letters or more"),
      field<&AccountChange::pin>("pin", "A new PIN, 4 to 8 digits.", "4711"),
      field<&AccountChange::disabled>("disabled", "Ends its sessions too.", "true"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<OwnChange>::fields() {
  static const FieldInfo kFields[] = {
      field<&OwnChange::old_password>("old_password", "The password as it is now.",
                                      "ten letters or more"),
      field<&OwnChange::pin>("pin", "A new PIN, 4 to 8 digits.", "4711"),
      field<&OwnChange::password>("password", "A new password.", "eleven letters or more"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DeviceRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&DeviceRow::id>("id", "Names it in this API.", kHash),
      field<&DeviceRow::name>("name", "Name.", "tablet bay 3"),
      field<&DeviceRow::created>("created", "When it was paired.", kTime),
      field<&DeviceRow::last_seen>("last_seen", "When it was last used.", kTime, kMayLack),
      field<&DeviceRow::revoked>("revoked", "It may not be used.", "false"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DeviceList>::fields() {
  static const FieldInfo kFields[] = {
      field<&DeviceList::devices>("devices", "All devices.", "", kAlways)};
  return kFields;
}

std::span<const FieldInfo> Description<AuditRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&AuditRow::number>("number", "From 1, without gaps.", "17", kCount),
      field<&AuditRow::at>("at", "When.", kTime),
      field<&AuditRow::who>("who", "Who.", "bay 3"),
      field<&AuditRow::what>("what", "The act.", "case deleted"),
      field<&AuditRow::subject>("subject", "On what.", "vessgarth-bay3", kMayLack),
      field<&AuditRow::detail>("detail", "More of it.", "reason: twice in the store", kMayLack),
      field<&AuditRow::hash>("hash", "Of this and all before it.", kHash),
  };
  return kFields;
}

std::span<const FieldInfo> Description<AuditList>::fields() {
  static const FieldInfo kFields[] = {
      field<&AuditList::entries>("entries", "In their order.", "", kAlways)};
  return kFields;
}

std::span<const FieldInfo> Description<DriveRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&DriveRow::name>("name", "Name.", "vessgarth-v6-12"),
      field<&DriveRow::title>("title", "Title.", "Vessgarth V6-12", kMayLack),
      field<&DriveRow::revision>("revision", "Revision.", "1", kMayLack),
      field<&DriveRow::checked_by>("checked_by", "Who checked it; absent: nobody.",
                                   "second reader, 2026-02-10", kMayLack),
      field<&DriveRow::based_on>("based_on", "The drive that it is a variant of.",
                                 "vessgarth-v6-12", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DriveList>::fields() {
  static const FieldInfo kFields[] = {field<&DriveList::drives>("drives", "By name.", "", kAlways)};
  return kFields;
}

std::span<const FieldInfo> Description<MissingRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&MissingRow::what>("what", "As a key of the drive file would hold it.",
                               "chains: pitch"),
      field<&MissingRow::how>("how", "How to get it.", "measure over ten links"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<LevelRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&LevelRow::level>("level", "Group of questions.", "1 counts and marks"),
      field<&LevelRow::question>("question", "What can be asked.", "Do the link counts add up?"),
      field<&LevelRow::can_answer>("can_answer", "The definition is enough for it.", "true"),
      field<&LevelRow::detail>("detail", "The answer, where the definition alone gives it.",
                               "they do", kMayLack),
      field<&LevelRow::missing>("missing", "What would unlock it.", "", kAlways),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DriveCheck>::fields() {
  static const FieldInfo kFields[] = {
      field<&DriveCheck::name>("name", "Name of the definition.", "vessgarth-v6-12"),
      field<&DriveCheck::levels>("levels", "Question by question.", "", kAlways),
      field<&DriveCheck::warnings>("warnings", "Where it looks wrong.", "", kAlways),
  };
  return kFields;
}

}  // namespace tautmark
