#pragma once

#include <locale.h>

namespace aftercurve {

/// While it lives, the C library prints and reads numbers on this thread with "." as decimal mark, whatever
/// the locale of the program is. For libraries that print by the locale; destroyed on the thread that made
/// it.
class PointAsDecimalMark {
  public:
    PointAsDecimalMark() : plain_(::newlocale(LC_ALL_MASK, "C", nullptr)), before_(::uselocale(plain_)) {}
    PointAsDecimalMark(const PointAsDecimalMark&) = delete;
    PointAsDecimalMark& operator=(const PointAsDecimalMark&) = delete;
    PointAsDecimalMark(PointAsDecimalMark&&) = delete;
    PointAsDecimalMark& operator=(PointAsDecimalMark&&) = delete;
    ~PointAsDecimalMark() {
        ::uselocale(before_);
        ::freelocale(plain_);
    }

  private:
    locale_t plain_;
    locale_t before_;
};

}  // namespace aftercurve
