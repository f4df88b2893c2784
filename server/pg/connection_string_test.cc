// Goal: timeouts are added to both forms of connection strings and never override the operator's.
// Method: examples; that libpq takes them, the tests of the pool show with a database.
#include "server/pg/connection_string.h"

#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

TEST(ConnectionStringTest, KeywordsGetDefaultsInFront) {
  EXPECT_EQ(WithTimeouts("host=db connect_timeout=9", absl::Seconds(5)),
            "tcp_user_timeout=30000 connect_timeout=5 host=db connect_timeout=9");
}

TEST(ConnectionStringTest, AddressesGetWhatTheyLack) {
  EXPECT_EQ(WithTimeouts("postgresql://db/rundlet", absl::Seconds(5)),
            "postgresql://db/rundlet?connect_timeout=5&tcp_user_timeout=30000");
  EXPECT_EQ(WithTimeouts("postgres://db/rundlet?connect_timeout=9", absl::Seconds(5)),
            "postgres://db/rundlet?connect_timeout=9&tcp_user_timeout=30000");
}

TEST(ConnectionStringTest, NeverBecomesEndless) {
  EXPECT_EQ(WithTimeouts("", absl::Milliseconds(1)), "tcp_user_timeout=30000 connect_timeout=1 ");
}

}  // namespace
}  // namespace rundlet::server
