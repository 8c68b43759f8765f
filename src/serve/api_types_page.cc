// SPDX-License-Identifier: Apache-2.0
// Fields of the definitions that a person edits, and of quick answers.
#include "serve/api_options.h"
#include "serve/api_types.h"

namespace tautmark {

std::span<const FieldInfo> Description<DriveText>::fields() {
  static const FieldInfo kFields[] = {
      field<&DriveText::text>("text", "YAML or JSON, drive/1.", "tautmark: drive/1"),
      field<&DriveText::name>("name", "Name of its file, without the ending.", "vessgarth-v6-12",
                              kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DriveTextChecked>::fields() {
  static const FieldInfo kFields[] = {
      field<&DriveTextChecked::mistakes>("mistakes", "Why it cannot be read, each at its place.",
                                         "", kAlways),
      field<&DriveTextChecked::check>("check", "What it can answer; absent: it cannot be read."),
      field<&DriveTextChecked::drawing>("drawing", "Drawn, SVG.", "", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DriveToSave>::fields() {
  static const FieldInfo kFields[] = {
      field<&DriveToSave::text>("text", "YAML or JSON, drive/1.", "tautmark: drive/1"),
      field<&DriveToSave::replaces>(
          "replaces", "SHA-256 of the text that it takes the place of; absent: there is none.",
          kHash, kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DriveSaved>::fields() {
  static const FieldInfo kFields[] = {
      field<&DriveSaved::name>("name", "Name.", "vessgarth-v6-12"),
      field<&DriveSaved::file>("file", "Name of its file.", "vessgarth-v6-12.drive.yaml"),
      field<&DriveSaved::sha256>("sha256", "Of the text.", kHash),
      field<&DriveSaved::kept>("kept", "What the text before is called now, beside it.",
                               "vessgarth-v6-12.drive.2026-11-03-140509.yaml", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DifferenceRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&DifferenceRow::field>("field", "Which one.", "chains / timing chain / links"),
      field<&DifferenceRow::here>("here", "As this one has it; - : not at all.", "138"),
      field<&DifferenceRow::there>("there", "As the other has it; - : not at all.", "140"),
      field<&DifferenceRow::where_it_bites>(
          "where_it_bites", "What it costs to take one for the other.",
          "a chain with another number of links does not fit", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DriveDifferences>::fields() {
  static const FieldInfo kFields[] = {field<&DriveDifferences::differences>(
      "differences", "Those that bite first; then field by field.", "", kAlways)};
  return kFields;
}

std::span<const FieldInfo> Description<QuickInputRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&QuickInputRow::name>("name", "Its key.", "bore"),
      field<&QuickInputRow::ask>("ask", "The question in plain words.", "bore?"),
      field<&QuickInputRow::form>("form", "What the text has to look like.", "reading"),
      field<&QuickInputRow::kind>("kind", "Of the quantity, where only one fits.", "length",
                                  kMayLack),
      field<&QuickInputRow::is_required>("is_required", "No answer without it.", "true"),
      field<&QuickInputRow::example>("example", "Something that can be typed.", "28.072 mm"),
      field<&QuickInputRow::choices>("choices", "One of these; empty: free text.", "", kAlways),
  };
  return kFields;
}

std::span<const FieldInfo> Description<QuickQuestionRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&QuickQuestionRow::name>("name", "Its key.", "clearance"),
      field<&QuickQuestionRow::help>("help", "In a line.", "Bearing clearance"),
      field<&QuickQuestionRow::inputs>("inputs", "In the order in which they are asked.", "",
                                       kAlways),
  };
  return kFields;
}

std::span<const FieldInfo> Description<QuickList>::fields() {
  static const FieldInfo kFields[] = {
      field<&QuickList::questions>("questions", "All of them.", "", kAlways)};
  return kFields;
}

std::span<const FieldInfo> Description<QuickSaid>::fields() {
  static const FieldInfo kFields[] = {
      field<&QuickSaid::input>("input", "Its key.", "bore"),
      field<&QuickSaid::text>("text", "As it was said.", "28.072 mm", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<QuickTyped>::fields() {
  static const FieldInfo kFields[] = {
      field<&QuickTyped::typed>("typed", "Each input at most once.", "", kAlways)};
  return kFields;
}

}  // namespace tautmark
