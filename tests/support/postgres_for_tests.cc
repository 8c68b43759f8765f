// SPDX-License-Identifier: Apache-2.0
#include "support/postgres_for_tests.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <libpq-fe.h>
#include <spawn.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <stdexcept>
#include <thread>

namespace tautmark::test {
namespace {

namespace fs = std::filesystem;

constexpr auto kScript = TAUTMARK_TESTS_DIR "/support/postgres_for_tests.sh";

// A lock of this process, given back by the kernel if not by us. Not inherited by programs.
class FileLock {
 public:
  FileLock(const fs::path& file, int kind)
      : descriptor_(open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600)) {
    if (descriptor_ < 0) throw std::runtime_error("cannot open " + file.string());
    held_ = flock(descriptor_, kind) == 0;
  }
  FileLock(const FileLock&) = delete;
  FileLock& operator=(const FileLock&) = delete;
  ~FileLock() { close(descriptor_); }
  [[nodiscard]] bool held() const { return held_; }

 private:
  int descriptor_;
  bool held_ = false;
};

// The script with a bare environment (no preloaded library gets into the server) and its output in
// a file: a pipe that the server inherited would make ctest wait for it.
void run_script(const fs::path& folder, const std::string& act, const std::string& fsync = "off",
                const std::string& idle = "5") {
  const std::string log = (folder / "script.log").string();
  std::array<std::string, 6> words = {"sh", kScript, act, folder.string(), fsync, idle};
  std::array<char*, 7> arguments{};
  for (std::size_t i = 0; i < words.size(); ++i) arguments.at(i) = words.at(i).data();
  std::array<std::string, 2> settings = {"PATH=/usr/sbin:/usr/bin:/sbin:/bin", "LC_ALL=C.UTF-8"};
  std::array<char*, 3> environment = {settings[0].data(), settings[1].data(), nullptr};
  posix_spawn_file_actions_t files{};
  posix_spawn_file_actions_init(&files);
  posix_spawn_file_actions_addopen(&files, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&files, 1, log.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600);
  posix_spawn_file_actions_adddup2(&files, 1, 2);
  pid_t child = 0;
  const int failed =
      posix_spawn(&child, "/bin/sh", &files, nullptr, arguments.data(), environment.data());
  posix_spawn_file_actions_destroy(&files);
  int status = 0;
  if (failed != 0 || waitpid(child, &status, 0) != child || status != 0)
    throw std::runtime_error(fmt::format("PostgreSQL for tests: {} failed; see {}", act, log));
}

std::string url_of(const fs::path& folder, std::string_view database) {
  return fmt::format("postgresql://postgres@/{}?host={}", database, (folder / "server").string());
}

bool answers(const fs::path& folder) {
  return PQping(url_of(folder, "postgres").c_str()) == PQPING_OK;
}

void run_sql(const std::string& url, const std::string& text) {
  const std::unique_ptr<PGconn, decltype(&PQfinish)> connection(PQconnectdb(url.c_str()), PQfinish);
  const std::unique_ptr<PGresult, decltype(&PQclear)> result(PQexec(connection.get(), text.c_str()),
                                                             PQclear);
  const auto status = PQresultStatus(result.get());
  if (status != PGRES_COMMAND_OK && status != PGRES_TUPLES_OK)
    throw std::runtime_error(text + ": " + PQerrorMessage(connection.get()));
}

// The folder of the shared server; the server runs when this returns. Short, since the name of a
// unix socket has at most 107 bytes. Others may pass through (the server's user), not look.
fs::path shared_server() {
  static const fs::path folder = [] {
    const fs::path made =
        fs::path("/tmp") / fmt::format("tautmark-pg-{}-{:x}", geteuid(),
                                       std::hash<std::string>{}(TAUTMARK_SOURCE_DIR)&0xffffffffU);
    mkdir(made.c_str(), 0711);
    struct stat found {};
    if (lstat(made.c_str(), &found) != 0 || !S_ISDIR(found.st_mode) || found.st_uid != geteuid())
      throw std::runtime_error(made.string() + " is not ours");
    chmod(made.c_str(), 0711);
    const FileLock starting(made / "lock", LOCK_EX);
    static const FileLock kUsing(made / "users", LOCK_SH);  // until the process ends
    const bool watched = !FileLock(made / "watch", LOCK_EX | LOCK_NB).held();
    if (!watched || !answers(made)) run_script(made, "serve");
    return made;
  }();
  return folder;
}

}  // namespace

bool has_postgres() { return fs::exists("/usr/lib/postgresql/15/bin/initdb"); }

PostgresDatabase::PostgresDatabase() {
  static std::atomic<int> number{0};
  const auto now = std::chrono::system_clock::now().time_since_epoch().count();
  name_ = fmt::format("test_{}_{}_{}", getpid(), now, number++);
  run_sql(url_of(shared_server(), "postgres"),
          fmt::format("create database {} template template0", name_));
  url_ = url_of(shared_server(), name_);
}

PostgresDatabase::~PostgresDatabase() {
  try {
    run_sql(url_of(shared_server(), "postgres"), fmt::format("drop database {} (force)", name_));
  } catch (const std::exception&) {  // the watchdog removes it with the server
  }
}

void PostgresDatabase::cut_connections() const {
  run_sql(url_of(shared_server(), "postgres"),
          fmt::format("select pg_terminate_backend(pid) from pg_stat_activity where datname = '{}'",
                      name_));
}

struct PostgresServer::Inside {
  fs::path folder;
  std::string url;
  std::unique_ptr<FileLock> lock, users;
};

PostgresServer::PostgresServer() : inside_(std::make_unique<Inside>()) {
  std::string name = "/tmp/tautmark-pg-XXXXXX";
  if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
  chmod(name.c_str(), 0711);
  inside_->folder = name;
  inside_->url = url_of(name, "postgres");
  inside_->users = std::make_unique<FileLock>(inside_->folder / "users", LOCK_SH);
  run_script(name, "serve", "on", "1");
}

// The watchdog takes the server away; the folder is ours to remove.
PostgresServer::~PostgresServer() {
  try {
    inside_->users.reset();
    std::this_thread::sleep_for(std::chrono::milliseconds(100));  // it may not yet have looked
    const FileLock watched(inside_->folder / "watch", LOCK_EX);   // waits until it has ended
    std::error_code code;
    fs::remove_all(inside_->folder, code);
  } catch (const std::exception&) {
  }
}

const std::string& PostgresServer::url() const { return inside_->url; }
void PostgresServer::stop() { run_script(inside_->folder, "stop"); }
void PostgresServer::kill() { run_script(inside_->folder, "kill"); }
void PostgresServer::start() { run_script(inside_->folder, "start", "on"); }

}  // namespace tautmark::test
