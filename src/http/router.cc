// SPDX-License-Identifier: Apache-2.0
#include "http/router.h"

#include <algorithm>
#include <set>
#include <stdexcept>

#include "base/text.h"

namespace tautmark {

namespace {

bool is_name(std::string_view word) { return word.starts_with('{'); }

void require(bool holds, const Route& route, const char* what) {
  if (!holds)
    throw std::logic_error("route " + std::string(route.method) + " " + std::string(route.pattern) +
                           ": " + what);
}

void check(const Route& route, const std::vector<std::string>& words) {
  require(route.pattern.starts_with('/'), route, "no slash in front");
  require(!route.handle != !route.take, route, "needs either handle or take");
  require(!route.take || route.work == Work::on_pool, route, "a stream is taken on the pool");
  std::set<std::string> names;
  for (std::size_t i = 1; i < words.size(); ++i) {
    const std::string& word = words[i];
    require(!word.empty() || words.size() == 2, route, "an empty part");
    if (is_name(word)) require(word.size() > 2 && word.ends_with('}'), route, "no {name}");
    if (is_name(word)) require(names.insert(word).second, route, "a name twice");
  }
}

// For sorting: at the first part where two patterns differ in kind, a word goes before a name.
bool goes_before(const std::vector<std::string>& a, const std::vector<std::string>& b) {
  return std::ranges::lexicographical_compare(a, b, {}, is_name, is_name);
}

bool fits(const std::vector<std::string>& pattern, const std::vector<std::string>& path) {
  if (pattern.size() != path.size()) return false;
  for (std::size_t i = 0; i < path.size(); ++i)
    if (is_name(pattern[i]) ? path[i].empty() : pattern[i] != path[i]) return false;
  return true;
}

bool same(const std::vector<std::string>& a, const std::vector<std::string>& b) {
  return std::ranges::equal(a, b, [](const std::string& x, const std::string& y) {
    return is_name(x) ? is_name(y) : x == y;
  });
}

}  // namespace

Router::Router(std::vector<Route> routes) {
  for (Route& route : routes) {
    auto words = split(route.pattern, '/');
    check(route, words);
    for (const Entry& other : entries_)
      require(other.route.method != route.method || !same(other.words, words), route, "twice");
    entries_.push_back({std::move(route), std::move(words)});
  }
  std::ranges::stable_sort(entries_, goes_before, &Entry::words);
}

Router::Found Router::find(std::string_view method, std::string_view path) const {
  const auto words = split(path, '/');
  const std::string_view wanted = method == "HEAD" ? "GET" : method;
  const std::vector<std::string>* place = nullptr;
  std::set<std::string_view> methods;
  Found found;
  for (const Entry& entry : entries_) {
    if (!fits(entry.words, words)) continue;
    // Only routes of the most exact pattern count: GET /a/{x} does not answer where POST /a/b is.
    if (place && !same(*place, entry.words)) continue;
    place = &entry.words;
    methods.insert(entry.route.method);
    if (entry.route.method != wanted) continue;
    found.route = &entry.route;
    for (std::size_t i = 1; i < words.size(); ++i)
      if (is_name(entry.words[i]))
        found.parts[entry.words[i].substr(1, entry.words[i].size() - 2)] = words[i];
    return found;
  }
  if (methods.contains("GET")) methods.insert("HEAD");
  for (const std::string_view one : methods)
    found.allow += (found.allow.empty() ? "" : ", ") + std::string(one);
  return found;
}

}  // namespace tautmark
