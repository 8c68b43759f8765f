// SPDX-License-Identifier: Apache-2.0
// `tautmark recording --live`: captures by the general-purpose program sigrok-cli, then decodes.
// Its habits that shaped this (version 0.7.2): it may end with 0 though nothing could be saved,
// hang on a sample rate that a device does not have, and fall over writing text; so the file is
// looked at, time is limited, and only sessions and dumps are offered.
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>

#include "base/text.h"
#include "cli/child_process.h"
#include "cli/commands.h"
#include "cli/recording_modes.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;

constexpr const char* kProgram = "sigrok-cli";
constexpr double kScanLimit = 30;         // s
constexpr double kLongestCapture = 3600;  // s, also where it waits for Ctrl-C
constexpr double kGrace = 15;             // s, to open the device and to finish the file
constexpr const char* kCaution =
    "caution: hands, hair, sleeves and sensor cables away from belts, fans and hot parts of a "
    "running engine;\n"
    "connect with the ignition off. The engine maker's data and procedure come first.\n";

int refuse(const std::string& message) {
  fmt::print(stderr, "error: {}\n", message);
  return kExitInput;
}

int not_started(int error) {
  if (error == ENOENT)
    return refuse(
        fmt::format("the capture program {0} is not installed; on Debian: apt-get install "
                    "{0}. A recording made elsewhere is read by: tautmark recording FILE",
                    kProgram));
  return refuse(fmt::format("{} could not be started: {}", kProgram, std::strerror(error)));
}

// The first line it said, without its own name.
std::string first_line(const ChildResult& child) {
  for (const std::string& line : split(child.messages + "\n" + child.output, '\n'))
    if (!trimmed(line).empty()) {
      // A device's own words may hold anything; a terminal is not to obey them.
      std::string plain = clipped(std::string(trimmed(line)));
      for (char& c : plain)
        if (static_cast<unsigned char>(c) < ' ' || c == 0x7F) c = '?';
      return plain;
    }
  return "it gave no reason";
}

struct Device {
  std::string driver, line;
};

// "driver[:conn=...] - what it is", one a line.
std::vector<Device> devices_of(const std::string& scan) {
  std::vector<Device> devices;
  for (const std::string& line : split(scan, '\n')) {
    const auto dash = line.find(" - ");
    if (dash == std::string::npos || dash == 0 || line.front() == ' ') continue;
    devices.push_back({line.substr(0, dash), line});
  }
  return devices;
}

ChildResult scan(const std::string& driver) {
  ChildRun run;
  run.words = {kProgram, "--scan"};
  if (!driver.empty()) run.words.push_back("--driver=" + driver);
  run.limit = kScanLimit;
  return run_child(run);
}

// 0, or the exit status when there is nothing to go on with.
int find_devices(const std::string& driver, std::vector<Device>& devices) {
  const ChildResult child = scan(driver);
  if (child.not_started != 0) return not_started(child.not_started);
  if (child.stopped) return refuse("stopped while looking for devices");
  if (child.timed_out)
    return refuse(
        fmt::format("{} did not finish looking for devices in {:g} s", kProgram, kScanLimit));
  devices = devices_of(child.output);
  if (child.status != 0) return refuse(fmt::format("{} refused: {}", kProgram, first_line(child)));
  if (devices.empty())
    return refuse(driver.empty()
                      ? "no device was found: is it plugged in, and may this user open "
                        "it?"
                      : fmt::format("no device of driver {} was found: is it plugged in, "
                                    "and may this user open it?",
                                    driver));
  return 0;
}

int list(const LiveArguments& arguments) {
  std::vector<Device> devices;
  if (const int status = find_devices(arguments.driver, devices)) return status;
  for (const Device& device : devices) fmt::print("{}\n", device.line);
  return kExitPass;
}

// The only device that is not the built-in demonstration.
int choose(std::string& driver) {
  std::vector<Device> devices, real;
  if (const int status = find_devices("", devices)) return status;
  for (const Device& device : devices)
    if (device.driver != "demo") real.push_back(device);
  if (real.size() == 1) {
    driver = real.front().driver;
    return 0;
  }
  std::string message = real.empty() ? "no device was found but the built-in demonstration; to use "
                                       "it: --driver demo"
                                     : "several devices; choose one with --driver:";
  for (const Device& device : real) message += "\n  " + device.line;
  return refuse(message);
}

// A folder beside the file: what the program leaves behind goes with it.
class CaptureFolder {
 public:
  explicit CaptureFolder(const fs::path& file) {
    std::string name = (file.parent_path() / ".capture-XXXXXX").string();
    if (mkdtemp(name.data()) != nullptr) folder_ = name;
  }
  CaptureFolder(const CaptureFolder&) = delete;
  CaptureFolder& operator=(const CaptureFolder&) = delete;
  ~CaptureFolder() {
    std::error_code code;
    if (!folder_.empty()) fs::remove_all(folder_, code);
  }
  [[nodiscard]] bool made() const { return !folder_.empty(); }
  [[nodiscard]] fs::path capture() const { return folder_ / "capture"; }

 private:
  fs::path folder_;
};

ChildRun capture_run(const LiveArguments& arguments, const fs::path& into,
                     const std::string& format) {
  ChildRun run;
  run.words = {kProgram, "--driver=" + arguments.driver, "--output-format=" + format,
               "--output-file=" + into.string()};
  if (!arguments.channels.empty())
    run.words.push_back("--channels=" + joined(arguments.channels, ","));
  if (arguments.sample_rate > 0)
    run.words.push_back(fmt::format("--config=samplerate={:.0f}", arguments.sample_rate));
  if (arguments.seconds > 0)
    run.words.push_back(fmt::format("--time={:.0f}", arguments.seconds * 1000));
  else
    run.words.emplace_back("--continuous");
  run.ends_by_key = arguments.seconds == 0;
  run.limit = (arguments.seconds > 0 ? arguments.seconds : kLongestCapture) + kGrace;
  if (isatty(STDERR_FILENO) != 0)
    run.tick = [into](double seconds) {
      std::error_code code;
      const auto size = fs::file_size(into, code);
      fmt::print(stderr, "\r\033[Kcapturing: {:.0f} s, {:.1f} MB; Ctrl-C ends it", seconds,
                 code ? 0 : static_cast<double>(size) / 1e6);
    };
  return run;
}

int what_went_wrong(const LiveArguments& arguments, const ChildResult& child, bool something) {
  if (child.timed_out)
    return refuse(
        fmt::format("{} did not end in time and was ended; the device may not have the "
                    "sample rate or may hang",
                    kProgram));
  const std::string said = first_line(child);
  if (child.status > 0 && said.find("No devices found") != std::string::npos)
    return refuse(
        fmt::format("no device of driver {} was found: is it plugged in, and may this "
                    "user open it?",
                    arguments.driver));
  if (child.status != 0 && !child.stopped)
    return refuse(fmt::format("the device or {} refused: {}", kProgram, said));
  if (!something) return refuse(fmt::format("nothing was captured: {}", said));
  return 0;
}

bool publish(const fs::path& capture, const LiveArguments& arguments) {
  std::error_code code;
  if (arguments.overwrite) {
    fs::rename(capture, arguments.to, code);
    return !code;
  }
  if (link(capture.c_str(), arguments.to.c_str()) == 0) return true;
  if (errno == EEXIST || fs::exists(arguments.to, code)) return false;
  fs::rename(capture, arguments.to, code);  // a file system without links
  return !code;
}

}  // namespace

int run_live(const LiveArguments& arguments, const std::function<int(const std::string&)>& decode) {
  if (arguments.list) return list(arguments);
  if (arguments.to.empty()) {
    fmt::print(stderr, "--live needs --to FILE (.sr, or .vcd for logic channels)\n");
    return kExitUsage;
  }
  const std::string ending = lower_ascii(fs::path(arguments.to).extension().string());
  if (ending != ".sr" && ending != ".vcd") {
    fmt::print(stderr,
               "a capture is kept as a session, {}.sr, or as a dump of logic channels, .vcd\n",
               fs::path(arguments.to).stem().string());
    return kExitUsage;
  }
  std::error_code code;
  if (!arguments.overwrite && fs::exists(arguments.to, code))
    return refuse(fmt::format("{} is there already; it was not touched (--overwrite replaces it)",
                              arguments.to));
  LiveArguments chosen = arguments;
  if (chosen.driver.empty())
    if (const int status = choose(chosen.driver)) return status;
  const CaptureFolder folder{fs::path(arguments.to)};
  if (!folder.made())
    return refuse(fmt::format("{}: cannot be written: {}", arguments.to, std::strerror(errno)));

  std::fputs(kCaution, stderr);
  const ChildRun run = capture_run(chosen, folder.capture(), ending == ".vcd" ? "vcd" : "srzip");
  const ChildResult child = run_child(run);
  if (run.tick) std::fputs("\r\033[K", stderr);
  if (child.not_started != 0) return not_started(child.not_started);
  const auto size = fs::file_size(folder.capture(), code);
  if (const int status = what_went_wrong(chosen, child, !code && size > 0)) return status;
  if (!publish(folder.capture(), arguments))
    return refuse(fmt::format("{}: the capture cannot be put there", arguments.to));
  fmt::print(stderr, "captured: {}{}\n", arguments.to, child.stopped ? ", stopped by hand" : "");
  return decode(arguments.to);
}

}  // namespace tautmark::cli
