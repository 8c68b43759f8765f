// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "base/text.h"
#include "oil/density.h"
#include "oil/grade.h"
#include "oil/library.h"
#include "oil/library_fields.h"

namespace tautmark {

std::span<const FieldInfo> Description<oil::OilSource>::fields() {
  static const FieldInfo kFields[] = {
      field<&oil::OilSource::name>("name", "Its name in this file.", "typical"),
      field<&oil::OilSource::text>("text", "What a person is shown as the source.",
                                   "typical value, from memory"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<oil::OilOfLibrary>::fields() {
  static const FieldInfo kFields[] = {
      field<&oil::OilOfLibrary::grade>("grade", "The viscosity grade (SAE J300).", "5W-30"),
      field<&oil::OilOfLibrary::viscosity_40>("viscosity_40", "Kinematic viscosity at 40 degC."),
      field<&oil::OilOfLibrary::viscosity_100>("viscosity_100", "Kinematic viscosity at 100 degC."),
      field<&oil::OilOfLibrary::density_15>("density_15", "Density at 15 degC."),
      field<&oil::OilOfLibrary::hths>("hths", "Viscosity at 150 degC and a shear rate of 1e6 1/s."),
  };
  return kFields;
}

std::span<const FieldInfo> Description<oil::OilFile>::fields() {
  static const FieldInfo kFields[] = {
      field<&oil::OilFile::format>("tautmark", "Format of the file.", "oils/1"),
      field<&oil::OilFile::sources>("sources", "Where the values come from.", {},
                                    {.required = true}),
      field<&oil::OilFile::oils>("oils", "The oils.", {}, {.required = true}),
  };
  return kFields;
}

namespace oil {
namespace {

class OilFileCheck {
 public:
  OilFileCheck(OilFile& file, const Places& places, Diagnostics& diagnostics)
      : file_(file), places_(places), diagnostics_(diagnostics) {}

  void run() {
    for (std::size_t i = 0; i < file_.sources.size(); ++i)
      if (!names_.insert(file_.sources[i].name).second)
        say(fmt::format("sources[{}].name", i),
            fmt::format("a second source \"{}\"", file_.sources[i].name));
    for (std::size_t i = 0; i < file_.oils.size(); ++i)
      check(file_.oils[i], fmt::format("oils[{}]", i));
  }

 private:
  void check(OilOfLibrary& oil, const std::string& path) {
    const auto limits = grade_limits(oil.grade);
    if (!limits)
      say(path + ".grade", limits.error().why);
    else
      check_limits(oil, *limits, path);
    check_viscosity(oil, path);
    if (const auto base = base_density(oil.density_15.value.value); !base)
      say(path + ".density_15.value", base.error().why);
    resolve(oil.viscosity_40.source, path + ".viscosity_40.source");
    resolve(oil.viscosity_100.source, path + ".viscosity_100.source");
    resolve(oil.density_15.source, path + ".density_15.source");
    if (oil.hths) resolve(oil.hths->source, path + ".hths.source");
  }

  void check_limits(OilOfLibrary& oil, const GradeLimits& limits, const std::string& path) {
    oil.grade = limits.name;
    if (!grades_.insert(limits.name).second)
      say(path + ".grade", fmt::format("{} is in the library already", limits.name));
    const KinematicViscosity at_100 = oil.viscosity_100.value.value;
    if (at_100 < limits.least_at_100 || (limits.below_at_100 && at_100 >= *limits.below_at_100))
      say(path + ".viscosity_100.value", fmt::format("{} at 100 degC is outside the limits of {}",
                                                     oil.viscosity_100.value.text, limits.name));
    if (oil.hths && oil.hths->value.upper && limits.least_hths &&
        *oil.hths->value.upper < *limits.least_hths)
      say(path + ".hths.value",
          fmt::format("{} is below the least HTHS of {}", oil.hths->value.text, limits.name));
  }

  void check_viscosity(const OilOfLibrary& oil, const std::string& path) {
    const auto law = law_of_data_sheet(oil.viscosity_40.value.value, oil.viscosity_100.value.value);
    if (!law)
      say(path + ".viscosity_40.value", law.error().why);
    else if (!law->warnings.empty())
      say(path + ".viscosity_40.value", law->warnings.front());
  }

  // The name becomes the text that goes with the value wherever it is shown.
  void resolve(std::string& source, const std::string& path) {
    const auto found = std::find_if(file_.sources.begin(), file_.sources.end(),
                                    [&](const OilSource& one) { return one.name == source; });
    if (found == file_.sources.end()) {
      const std::vector<std::string> known(names_.begin(), names_.end());
      say(path, fmt::format("no source \"{}\" in this file", source),
          known.empty() ? std::string() : fmt::format("known: {}", joined(known, ", ")));
      return;
    }
    source = found->text;
  }

  void say(const std::string& path, std::string message, std::string hint = {}) {
    Diagnostic diagnostic;
    diagnostic.place = places_.at(path);
    diagnostic.message = std::move(message);
    diagnostic.hint = std::move(hint);
    add_diagnostic(diagnostics_, std::move(diagnostic));
  }

  OilFile& file_;
  const Places& places_;
  Diagnostics& diagnostics_;
  std::set<std::string> names_, grades_;
};

}  // namespace

Result<std::vector<OilOfLibrary>> read_oils(const TextFileRef& file) {
  const auto node = parse_yaml(file);
  if (!node) return refuse(diagnostics_text(node.error()));
  // A file of another format would only give mistakes that are none.
  if (const Node* format = node->find("tautmark"); format != nullptr && format->text != "oils/1")
    return refuse(diagnostics_text(
        {error_at(*format, fmt::format("\"{}\" is not a library of oils", format->text),
                  "the first line of a library of oils is: tautmark: oils/1")}));
  OilFile read;
  Diagnostics diagnostics;
  Places places;
  ReadContext context;
  context.diagnostics = &diagnostics;
  context.places = &places;
  if (read_record(*node, read, context)) OilFileCheck(read, places, diagnostics).run();
  if (!has_errors(diagnostics)) return std::move(read.oils);
  sort_by_place(diagnostics);
  return refuse(diagnostics_text(diagnostics));
}

Result<std::vector<OilOfLibrary>> read_oils(std::string file_name, std::string text) {
  return read_oils(make_text_file(std::move(file_name), std::move(text)));
}

}  // namespace oil
}  // namespace tautmark
