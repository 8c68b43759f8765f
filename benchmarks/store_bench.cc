// SPDX-License-Identifier: Apache-2.0
// Stores of many cases on both databases. Budget: list and search within 100 ms at the 95th
// percentile with 10 000 cases of 200 entries each.
//   store_bench [--cases N] [--entries N] [--store ADDRESS]…
// Without --store: an embedded one in the temporary folder, and a server started for it.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <functional>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include "store/cases.h"
#include "support/postgres_for_tests.h"

namespace {

using namespace tautmark;
using Clock = std::chrono::steady_clock;

double milliseconds_since(Clock::time_point start) {
  return std::chrono::duration<double, std::milli>(Clock::now() - start).count();
}

template <class T>
T kept(Stored<T> stored) {
  if (!stored) {
    fmt::print(stderr, "{}\n", stored.error().message);
    std::exit(1);
  }
  return std::move(*stored);
}

// Words as a shop writes them: few are common, most are rare.
class Words {
 public:
  explicit Words(unsigned seed) : random_(seed) {}
  std::string word() {
    static constexpr const char* kCommon[] = {"rattle", "idle", "hot",   "cold", "chain",
                                              "bank",   "left", "right", "oil",  "pressure"};
    if (random_() % 3 == 0) return kCommon[random_() % std::size(kCommon)];
    const double u = std::uniform_real_distribution<>(0, 1)(random_);
    return fmt::format("w{:05}", static_cast<int>(20'000 * u * u * u));
  }
  std::string words(int count) {
    std::string text = word();
    while (--count > 0) text += " " + word();
    return text;
  }
  unsigned below(unsigned n) { return static_cast<unsigned>(random_() % n); }

 private:
  std::mt19937 random_;
};

std::string entry_text(const std::string& id, Words& words) {
  if (words.below(2) == 0)
    return fmt::format("  - kind: note\n    id: {}\n    by: bay {}\n    words: {}\n", id,
                       words.below(9), words.words(9));
  const double size = 27.9 + 0.001 * words.below(200);
  return fmt::format(
      "  - kind: reading\n    id: {}\n    at: 2026-{:02}-{:02}T08:15\n    quantity: journal "
      "diameter\n    place: bank {} / camshaft / journal {}\n    values: {:.3f} {:.3f} mm\n    "
      "instrument: micrometer\n",
      id, 1 + words.below(12), 1 + words.below(28), 1 + words.below(2), 1 + words.below(5), size,
      size + 0.002);
}

void seed(const CaseStore& store, int cases, int entries) {
  const auto start = Clock::now();
  for (int i = 0; i < cases; ++i) {
    Words words(static_cast<unsigned>(i));
    std::vector<NewRecord> records(1);
    records[0].kind = RecordKind::head;
    records[0].body = fmt::format(
        "tautmark: case/1\nname: case-{0}\ntitle: {1}\ndrive: drive-{2}\nengine:\n  serial: "
        "S{0:06}\nentries:\n",
        i, words.words(5), i % 40);
    for (int n = 1; n <= entries; ++n) {
      NewRecord& record = records.emplace_back();
      record.entry_id = fmt::format("e{}", n);
      record.body = entry_text(record.entry_id, words);
    }
    kept(store.create(fmt::format("case-{}", i), std::move(records), "bench"));
  }
  const double seconds = milliseconds_since(start) / 1000;
  fmt::print("  {} cases of {} entries stored in {:.0f} s: {:.0f} entries/s\n", cases, entries,
             seconds, cases * static_cast<double>(entries) / seconds);
}

void measure(const char* what, int rounds, const std::function<std::int64_t(int)>& work) {
  std::vector<double> times;
  std::int64_t found = 0;
  for (int i = 0; i < rounds; ++i) {
    const auto start = Clock::now();
    found = work(i);
    times.push_back(milliseconds_since(start));
  }
  std::sort(times.begin(), times.end());
  const auto at = [&](double share) {
    return times[static_cast<std::size_t>(share * static_cast<double>(times.size() - 1))];
  };
  fmt::print("  {:<34} {:>8.2f} {:>8.2f} {:>8.2f} {:>8}\n", what, at(0.5), at(0.95), times.back(),
             found);
}

void run(const std::string& address, int cases, int entries) {
  const auto database = kept(Database::open(store_address(address), OpenFor::writing_or_create));
  const CaseStore store(database);
  fmt::print("{}\n", database->kind() == DatabaseKind::embedded ? "embedded" : "server");
  if (kept(store.search("", 1)).found == 0) seed(store, cases, entries);
  fmt::print("  {:<34} {:>8} {:>8} {:>8} {:>8}\n", "milliseconds", "p50", "p95", "most", "found");
  const auto search = [&](const char* what, const std::function<std::string(int)>& query) {
    measure(what, 100, [&](int i) { return kept(store.search(query(i), 50)).found; });
  };
  const auto always = [](const char* query) { return [query](int) { return std::string(query); }; };
  search("list", always(""));
  measure("list, page 100", 100, [&](int) { return kept(store.search("", 50, 5000)).found; });
  search("rare word", [](int i) { return fmt::format("w{}", 19'000 + 7 * i); });
  search("common word", always("rattle"));
  search("two common words", always("rattle pressure"));
  search("common and rare word", [](int i) { return fmt::format("rattle w{}", 19'000 + 7 * i); });
  search("beginning of a word", always("w12"));
  search("one letter", always("w"));
  search("field", always("place:bank"));
  search("field and drive",
         [](int i) { return fmt::format("kind:reading drive:\"drive-{}\"", i % 40); });
  search("serial number", [&](int i) { return fmt::format("serial:S{:06}", 97 * i % cases); });
  search("number", [](int i) { return fmt::format("27.{}", 900 + i); });
  search("whole words", always("\"bank 2\""));
  search("nothing found", always("nowhere"));
  search("common words, nothing together",
         always("kind:reading title:w00000 title:w00001 title:w00002"));
  measure("summary", 100, [&](int i) {
    return kept(store.summary(fmt::format("case-{}", 31 * i % cases))).entries;
  });
  measure("records of a case", 100, [&](int i) {
    return static_cast<std::int64_t>(
        kept(store.records(fmt::format("case-{}", 31 * i % cases))).size());
  });
  measure("verify a case", 50, [&](int i) {
    return static_cast<std::int64_t>(
        kept(store.verify(fmt::format("case-{}", 31 * i % cases))).size());
  });
  const auto start = Clock::now();
  Words words(1);
  measure("append one entry", 500, [&](int i) {
    NewRecord record;
    record.wants_id = true;
    record.body_with_id = [&](const std::string& id) { return entry_text(id, words); };
    return kept(store.append(fmt::format("case-{}", i % 7), {std::move(record)}, "bench"))[0].seq;
  });
  fmt::print("  append: {:.0f} entries/s, one after the other\n",
             500.0 / (milliseconds_since(start) / 1000));
}

}  // namespace

int main(int count, char** arguments) {
  int cases = 10'000, entries = 200;
  std::vector<std::string> stores;
  for (int i = 1; i + 1 < count; i += 2) {
    const std::string option = arguments[i], value = arguments[i + 1];
    if (option == "--cases") cases = std::atoi(value.c_str());
    if (option == "--entries") entries = std::atoi(value.c_str());
    if (option == "--store") stores.push_back(value);
  }
  if (!stores.empty()) {
    for (const std::string& store : stores) run(store, cases, entries);
    return 0;
  }
  const auto file = std::filesystem::temp_directory_path() / "tautmark-bench.store";
  const auto remove = [&] {
    for (const char* ending : {"", "-wal", "-shm"}) std::filesystem::remove(file.string() + ending);
  };
  remove();
  run(file.string(), cases, entries);
  remove();
  if (!test::has_postgres()) return 0;
  const test::PostgresServer server;
  run(server.url(), cases, entries);
  return 0;
}
