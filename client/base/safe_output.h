#ifndef RUNDLET_CLIENT_BASE_SAFE_OUTPUT_H_
#define RUNDLET_CLIENT_BASE_SAFE_OUTPUT_H_

#include <ostream>
#include <streambuf>
#include <string>

#include "core/base/harmless.h"

namespace rundlet::client {

// A note may come from anybody's device, and a terminal obeys control characters: colours, the
// cursor, the window's title, the direction of writing. A stream over this buffer shows them as "?"
// instead; line feeds, with a carriage return before them or not, and tabs pass. What JSON prints
// has none.
class SafeBuffer : public std::streambuf {
 public:
  explicit SafeBuffer(std::ostream& target) : target_(target) {}

 protected:
  int_type overflow(int_type character) override;
  std::streamsize xsputn(const char* bytes, std::streamsize count) override;
  int sync() override;

 private:
  // Writes what is whole of `pending_`; keeps the beginning of a character that is not.
  void Pass();

  std::ostream& target_;
  std::string pending_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_BASE_SAFE_OUTPUT_H_
