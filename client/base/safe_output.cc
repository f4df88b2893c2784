#include "client/base/safe_output.h"

#include <cstdint>

#include "core/base/harmless.h"

namespace rundlet::client {

std::streambuf::int_type SafeBuffer::overflow(int_type character) {
  if (character != traits_type::eof()) {
    pending_ += static_cast<char>(character);
    Pass();
  }
  return target_.good() ? traits_type::not_eof(character) : traits_type::eof();
}

std::streamsize SafeBuffer::xsputn(const char* bytes, std::streamsize count) {
  pending_.append(bytes, static_cast<size_t>(count));
  Pass();
  return target_.good() ? count : 0;
}

void SafeBuffer::Pass() {
  size_t whole = pending_.size();
  if (whole > 0 && pending_.back() == '\r') --whole;  // what follows decides
  for (size_t back = 1; back <= 3 && back <= pending_.size(); ++back) {
    const auto byte = static_cast<unsigned char>(pending_[pending_.size() - back]);
    if (byte < 0x80) break;
    if (byte >= 0xc0) {
      if (LengthOfCharacter(byte) > back) whole = pending_.size() - back;
      break;
    }
  }
  target_ << Harmless(absl::string_view(pending_).substr(0, whole), false);
  pending_.erase(0, whole);
}

int SafeBuffer::sync() {
  target_ << Harmless(pending_, false);
  pending_.clear();
  target_.flush();
  return target_.good() ? 0 : -1;
}

}  // namespace rundlet::client
