// SPDX-License-Identifier: Apache-2.0
#include "store/blobs.h"

#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>
#include <chrono>

#include "base/hash.h"
#include "store/blob_owner.h"
#include "store/case_rows.h"

namespace tautmark {
namespace {

// Nobody's upload waits for the gigabytes of another's.
std::function<bool()> for_a_moment() {
  const auto end = std::chrono::steady_clock::now() + std::chrono::milliseconds(500);
  return [end] { return std::chrono::steady_clock::now() < end; };
}

}  // namespace

struct BlobWriter::Inside {
  std::shared_ptr<Database> database;
  std::string key;     // empty until the first piece is stored
  std::string buffer;  // less than one piece
  long long pieces = 0;
  std::int64_t bytes = 0;
  Sha256 sum;
  bool failed = false;  // some bytes are lost: nothing can follow them

  Stored<void> store_piece(std::string_view piece) {
    if (failed)
      return store_error(StoreTrouble::refused, "the upload failed before; send the file again");
    if (key.empty()) (void)sweep_blobs(*database, for_a_moment());
    const std::string new_key = key.empty() ? new_uid() : key;
    auto stored = database->write([&](soci::session& session) {
      const long long now = now_microseconds();
      if (key.empty()) {
        const std::string owner = this_owner();
        session << "insert into upload (blob_key, owner, touched) values (:k, :o, :t)",
            soci::use(new_key), soci::use(owner), soci::use(now);
      } else {
        long long touched = 0;
        session << "update upload set touched = :t where blob_key = :k returning touched",
            soci::into(touched), soci::use(now), soci::use(new_key);
        if (!session.got_data())
          abandon(StoreTrouble::refused, "the upload rested too long; send the file again");
      }
      insert_piece(*database, session, new_key, pieces, piece);
    });
    failed = !stored;
    if (failed) return stored;
    key = new_key;
    ++pieces;
    return {};
  }
};

BlobWriter::BlobWriter(std::shared_ptr<Database> database) : inside_(std::make_unique<Inside>()) {
  inside_->database = std::move(database);
}

// What was not finished goes at once, if the store lets it.
BlobWriter::~BlobWriter() {
  if (inside_->key.empty()) return;
  const std::string key = inside_->key;
  const auto left = inside_->database->write([&](soci::session& session) {
    session << "update upload set owner = '', touched = 0 where blob_key = :k", soci::use(key);
  });
  if (left) (void)sweep_blobs(*inside_->database, for_a_moment());
}

Stored<void> BlobWriter::add(std::string_view bytes) {
  Inside& in = *inside_;
  while (!bytes.empty()) {
    const std::size_t take = std::min(bytes.size(), kMostPieceBytes - in.buffer.size());
    const std::string_view part = bytes.substr(0, take);
    bytes.remove_prefix(take);
    in.sum.add(part);
    in.bytes += static_cast<std::int64_t>(take);
    in.buffer += part;
    if (in.buffer.size() < kMostPieceBytes) continue;
    if (auto stored = in.store_piece(in.buffer); !stored) return stored;
    in.buffer.clear();
  }
  return {};
}

Stored<StoredFile> BlobWriter::finish() {
  Inside& in = *inside_;
  if (!in.buffer.empty() || in.failed) {
    if (auto stored = in.store_piece(in.buffer); !stored)
      return tl::make_unexpected(std::move(stored.error()));
    in.buffer.clear();
  }
  const StoredFile file{{}, in.sum.hex(), in.bytes};
  bool is_new = false;
  auto done = in.database->write([&](soci::session& session) {
    const std::string key = in.key.empty() ? new_uid() : in.key;
    const long long now = now_microseconds(), bytes = file.bytes;
    long long stored = 0;
    // The one who comes second waits for the first, on either database.
    session << "insert into blob (sha256, blob_key, bytes, pieces, stored)"
               " values (:s, :k, :b, :p, :t) on conflict (sha256) do update"
               " set stored = excluded.stored returning stored",
        soci::into(stored), soci::use(file.sha256), soci::use(key), soci::use(bytes),
        soci::use(in.pieces), soci::use(now);
    std::string kept;
    session << "select blob_key from blob where sha256 = :s", soci::into(kept),
        soci::use(file.sha256);
    is_new = kept == key;
    if (is_new) session << "delete from upload where blob_key = :k", soci::use(key);
  });
  if (!done) return tl::make_unexpected(std::move(done.error()));
  if (is_new) in.key.clear();  // the pieces are a file now; otherwise they are swept
  return file;
}

Stored<void> read_blob(const Database& database, const std::string& sha256, std::int64_t from,
                       std::int64_t length, const std::function<bool(std::string_view)>& take) {
  std::string key;
  long long bytes = 0;
  auto found = database.read([&](soci::session& session) {
    session << "select blob_key, bytes from blob where sha256 = :s", soci::into(key),
        soci::into(bytes), soci::use(sha256);
    if (!session.got_data())
      abandon(StoreTrouble::not_found, "the bytes of this file are not in the store");
  });
  if (!found) return found;
  if (from < 0 || from > bytes)
    return store_error(
        StoreTrouble::refused,
        fmt::format("the file has {} bytes; it cannot be read from {} on", bytes, from));
  const std::int64_t end = length < 0 ? bytes : std::min<std::int64_t>(bytes, from + length);
  const bool whole = from == 0 && end == bytes;
  constexpr auto kPiece = static_cast<std::int64_t>(kMostPieceBytes);
  Sha256 sum;
  // Each piece by itself: a slow reader holds nothing.
  for (std::int64_t at = from; at < end;) {
    std::string piece;
    auto read = database.read(
        [&](soci::session& session) { piece = select_piece(database, session, key, at / kPiece); });
    if (!read) return read;
    const std::int64_t begin = at / kPiece * kPiece;
    const std::int64_t wanted = std::min(end, begin + kPiece) - begin;
    if (static_cast<std::int64_t>(piece.size()) < wanted)
      return store_error(StoreTrouble::differs, "the file has lost some of its bytes");
    const std::string_view part = std::string_view(piece).substr(
        static_cast<std::size_t>(at - begin), static_cast<std::size_t>(wanted - (at - begin)));
    if (whole) sum.add(part);
    if (!take(part)) return {};
    at = begin + wanted;
  }
  if (whole && sum.hex() != sha256)
    return store_error(StoreTrouble::differs, "the file has other bytes than its record says");
  return {};
}

}  // namespace tautmark
