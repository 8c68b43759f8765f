// SPDX-License-Identifier: Apache-2.0
#include "serve/asset_answer.h"

#include <zlib.h>

#include <algorithm>
#include <memory>
#include <stdexcept>

#include "serve/weighted.h"

namespace tautmark {
namespace {

constexpr std::size_t kHashLength = 8;  // of Vite, in letters of base64url

bool is_hash_character(char c) {
  return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' ||
         c == '-';
}

struct Form {
  std::string bytes, etag;
};

// Nothing where packing gains nothing: pictures and fonts are packed already.
std::shared_ptr<const Form> packed(const Asset& asset) {
  std::string bytes = gzip_of(asset.bytes);
  if (bytes.size() >= asset.bytes.size()) return nullptr;
  std::string etag(asset.etag);
  etag.insert(etag.size() - 1, "-gz");
  return std::make_shared<const Form>(Form{std::move(bytes), std::move(etag)});
}

}  // namespace

bool accepts_gzip(std::string_view accept_encoding) {
  for (const auto& [name, weight] : weighted(accept_encoding))
    if (name == "gzip" || name == "x-gzip") return weight > 0;
  return false;
}

bool is_named_by_content(std::string_view path) {
  constexpr std::string_view kFolder = "/code/", kEnding = ".js";
  if (!path.starts_with(kFolder) || !path.ends_with(kEnding)) return false;
  path.remove_prefix(kFolder.size());
  path.remove_suffix(kEnding.size());
  if (path.size() < kHashLength + 2) return false;
  const std::string_view hash = path.substr(path.size() - kHashLength);
  // A hash of small letters alone is one in a thousand and taken for a word, which costs a
  // question.
  const auto is_small_letter = [](char c) { return c >= 'a' && c <= 'z'; };
  return path[path.size() - kHashLength - 1] == '-' &&
         std::ranges::all_of(hash, is_hash_character) &&
         !std::ranges::all_of(hash, is_small_letter);
}

std::string gzip_of(std::string_view bytes) {
  constexpr int kGzip = 15 + 16;  // window bits; 16 asks for gzip's head and foot
  z_stream stream{};
  if (deflateInit2(&stream, Z_DEFAULT_COMPRESSION, Z_DEFLATED, kGzip, 8, Z_DEFAULT_STRATEGY) !=
      Z_OK)
    throw std::runtime_error("the page cannot be packed");
  std::string out(deflateBound(&stream, bytes.size()), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  const int done = deflate(&stream, Z_FINISH);
  out.resize(stream.total_out);
  deflateEnd(&stream);
  if (done != Z_STREAM_END) throw std::runtime_error("the page cannot be packed");
  return out;
}

std::function<Response(Request&)> asset_handler(const Asset& asset) {
  const std::string_view keep =
      is_named_by_content(asset.path) ? "max-age=31536000, immutable" : "no-cache";
  return [asset, keep, gz = packed(asset)](Request& request) {
    const bool is_packed = gz != nullptr && accepts_gzip(request.header("accept-encoding"));
    const std::string_view etag = is_packed ? std::string_view(gz->etag) : asset.etag;
    Response response;
    response.content_type = asset.type;
    response.headers.emplace_back("ETag", std::string(etag));
    response.headers.emplace_back("Cache-Control", std::string(keep));
    if (gz != nullptr) response.headers.emplace_back("Vary", "Accept-Encoding");
    if (request.header("if-none-match") == etag) {
      response.status = 304;
      return response;
    }
    if (is_packed) response.headers.emplace_back("Content-Encoding", "gzip");
    response.body = is_packed ? gz->bytes : std::string(asset.bytes);
    return response;
  };
}

}  // namespace tautmark
