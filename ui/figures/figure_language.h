#pragma once

#include <QTranslator>

#include "core/figure/figure_style.h"

namespace aftercurve {

/// The texts of figures in German or Swedish, from a table in the program. Not proof-read (docs/formats.md).
/// A text that the table does not have is translated to nothing and stays English.
class FigureTranslator : public QTranslator {
  public:
    explicit FigureTranslator(FigureLanguage language) : language_(language) {}

    QString translate(const char* context, const char* sourceText, const char* disambiguation = nullptr,
                      int n = -1) const override;
    bool isEmpty() const override { return false; }

  private:
    FigureLanguage language_;
};

/// One for each language, made once. Figures ask it directly: installed in the application it would also
/// change the window.
const FigureTranslator& figureTranslator(FigureLanguage language);

}  // namespace aftercurve
