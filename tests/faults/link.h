#ifndef RUNDLET_TESTS_FAULTS_LINK_H_
#define RUNDLET_TESTS_FAULTS_LINK_H_

#include <memory>
#include <string>
#include <vector>

namespace rundlet::testing {

// A network of two ends with one wire between them: this machine, and a network namespace of its
// own for a client. Needs the rights of root.
class Link {
 public:
  // Null where it may not be made; `why_not` says why.
  static std::unique_ptr<Link> Make(std::string& why_not);
  ~Link();
  Link(const Link&) = delete;
  Link& operator=(const Link&) = delete;

  // This machine's address on the wire.
  const std::string& address() const { return address_; }
  // Words that put a program at the other end.
  std::vector<std::string> AtTheOtherEnd() const;
  // Takes the wire out, and puts it back.
  void Down();
  void Up();

 private:
  Link() = default;

  std::string name_;  // of the namespace, and what the ends begin with
  std::string address_;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_LINK_H_
