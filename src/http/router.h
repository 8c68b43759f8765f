// SPDX-License-Identifier: Apache-2.0
// Which route answers a method and a decoded path.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "http/http.h"

namespace tautmark {

class Router {
 public:
  // Throws std::logic_error on a pattern that is none, a route with no or two ways to answer, and
  // two routes for the same.
  explicit Router(std::vector<Route> routes);

  struct Found {
    const Route* route = nullptr;              // null: nothing there, or not this method
    std::map<std::string, std::string> parts;  // {name} -> the part of the path
    std::string allow;  // "GET, HEAD, POST" when only the method is wrong (405); else empty
  };
  // A word of a pattern goes before a {name}, from the left. HEAD is answered by GET.
  [[nodiscard]] Found find(std::string_view method, std::string_view path) const;

 private:
  struct Entry {
    Route route;
    std::vector<std::string> words;
  };
  std::vector<Entry> entries_;  // the more exact pattern first
};

}  // namespace tautmark
