#ifndef RUNDLET_SERVER_STORE_PG_VALUE_H_
#define RUNDLET_SERVER_STORE_PG_VALUE_H_

#include <optional>
#include <pqxx/pqxx>
#include <string>

#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "core/base/uuid.h"
#include "core/evidence/signing_key.h"

namespace rundlet::server {

// Values as PostgreSQL writes them in results and takes them as parameters, in text format. These
// throw std::runtime_error where a value is not what its column promises; call them under Guard.

Uuid UuidFrom(const pqxx::field& field);

// The bytes of a bytea in its hexadecimal form.
std::string BytesFrom(const pqxx::field& field);

evidence::PublicKey PublicKeyFrom(const pqxx::field& field);

// A timestamptz.
std::string TimeParameter(absl::Time time);

// A bytea.
pqxx::binarystring BytesParameter(absl::string_view bytes);
// A bytea in its hexadecimal form, or null.
std::optional<std::string> KeyParameter(const std::optional<evidence::PublicKey>& key);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_PG_VALUE_H_
