// What breaks each rule, and what nearly does.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace check_test {

struct Case {
  std::string rule;
  std::string bad;
  std::string near;       // the rule must be silent about it
  std::int64_t line = 0;  // where it fires in `bad`: 0 and -1 for what has no line or no byte
  std::int64_t byte = -1;
  std::string where{};  // the rest of its place: see where_it_fires()
};

// One or more a rule.
const std::vector<Case>& cases();

// "part Banjo, measure 1, beat 3, string 2": of the nth case of a rule, from 0.
std::string_view where_it_fires(std::string_view rule, std::size_t nth);

}  // namespace check_test
