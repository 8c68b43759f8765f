// SPDX-License-Identifier: Apache-2.0
#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>

#include <algorithm>
#include <array>
#include <memory>
#include <set>

#include "serve/certificate.h"

namespace tautmark {
namespace {

bool in_network(std::uint32_t address, std::uint32_t network, int bits) {
  return (address ^ network) >> (32 - bits) == 0;
}

}  // namespace

bool is_private_address(const std::string& address) {
  in_addr four{};
  if (inet_pton(AF_INET, address.c_str(), &four) == 1) {
    const std::uint32_t value = ntohl(four.s_addr);
    return in_network(value, 0x0a000000, 8) || in_network(value, 0xac100000, 12) ||
           in_network(value, 0xc0a80000, 16) || in_network(value, 0x64400000, 10) ||
           in_network(value, 0x7f000000, 8);
  }
  in6_addr six{};
  if (inet_pton(AF_INET6, address.c_str(), &six) != 1) return false;
  return IN6_IS_ADDR_LOOPBACK(&six) || (six.s6_addr[0] & 0xfeU) == 0xfcU;
}

std::vector<std::string> local_addresses() {
  ifaddrs* first = nullptr;
  if (getifaddrs(&first) != 0) return {};
  const std::unique_ptr<ifaddrs, decltype(&freeifaddrs)> all(first, freeifaddrs);
  std::set<std::string> fours, sixes;
  for (const ifaddrs* each = first; each != nullptr; each = each->ifa_next) {
    if (each->ifa_addr == nullptr || (each->ifa_flags & IFF_LOOPBACK) != 0 ||
        (each->ifa_flags & IFF_UP) == 0)
      continue;
    std::array<char, INET6_ADDRSTRLEN> text{};
    if (each->ifa_addr->sa_family == AF_INET) {
      const auto* found = reinterpret_cast<const sockaddr_in*>(each->ifa_addr);
      if (in_network(ntohl(found->sin_addr.s_addr), 0xa9fe0000, 16)) continue;  // 169.254.0.0/16
      fours.insert(inet_ntop(AF_INET, &found->sin_addr, text.data(), text.size()));
    } else if (each->ifa_addr->sa_family == AF_INET6) {
      const auto* found = reinterpret_cast<const sockaddr_in6*>(each->ifa_addr);
      if (IN6_IS_ADDR_LINKLOCAL(&found->sin6_addr)) continue;
      sixes.insert(inet_ntop(AF_INET6, &found->sin6_addr, text.data(), text.size()));
    }
  }
  std::vector<std::string> addresses(fours.begin(), fours.end());
  addresses.insert(addresses.end(), sixes.begin(), sixes.end());
  return addresses;
}

}  // namespace tautmark
