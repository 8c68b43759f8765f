// SPDX-License-Identifier: Apache-2.0
// The samples of a stored recording, made ready for drawing (recording/pyramid.h): once for each
// channel of each file, and of a new file before anybody looks. Not for use outside src/serve.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "serve/case_reading.h"

namespace tautmark {

// Whoever asks for one that is being made waits for it. `permit` of LongJobs; `goes_on`, asked now
// and then while it is made, ends that.
Answered<WorkingFiles::Item> wave_file(Shop& shop, const StoredFile& file, int channel,
                                       const std::shared_ptr<const void>& permit,
                                       const std::function<bool()>& goes_on = {});

// Why the bytes of a stored file are no recording; empty: they are, and its first wave is made. Of
// a large file nothing is said: reading it takes too long for that.
std::optional<Response> unreadable_recording(Shop& shop, const StoredFile& file);

// Makes the waves of new recordings, one after the other, in a thread of its own and with a permit
// as any other who reads them.
class WavesAhead {
 public:
  explicit WavesAhead(Shop& shop);  // which must outlive it
  WavesAhead(const WavesAhead&) = delete;
  WavesAhead& operator=(const WavesAhead&) = delete;
  ~WavesAhead();                     // what is under way is left
  void add(const StoredFile& file);  // from any thread

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace tautmark
