// What breaks each rule, and what nearly does.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace check_test {

struct Case {
  std::string rule;
  std::string bad;
  std::string near;       // the rule must be silent about it
  std::int64_t line = 0;  // where it fires in `bad`; 0, -1 and empty are not looked at
  std::int64_t byte = -1;
  std::string measure{};
};

// One or more a rule.
const std::vector<Case>& cases();

}  // namespace check_test
