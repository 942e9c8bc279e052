// Whole numbers of 128 bits, for products of two times.
#pragma once

namespace fifthpeg::base {

__extension__ typedef __int128 Wide;

}  // namespace fifthpeg::base
