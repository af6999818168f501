#pragma once

#include <span>
#include <vector>

#include "ui/report/report_letters.h"
#include "ui/report/report_page.h"

namespace aftercurve {

/// A piece of a paragraph.
struct TextRun {
    QString text;
    TextLook look = TextLook::body;
};

/// Fills pages from top to bottom. Nothing is placed below textBottom or beyond the margins.
class PageFlow {
  public:
    PageFlow() : pages_(1) {}

    Letters& letters() { return letters_; }
    ReportPage& page() { return pages_.back(); }
    std::size_t pageNumber() const { return pages_.size(); }
    double y() const { return y_; }
    double room() const { return textBottom - y_; }
    void skip(double height) { y_ += height; }
    void newPage();
    /// A new page where less than `height` is left, unless this one is empty.
    void need(double height);

    /// Puts one line of letters at `x` with its top at `top` on the page.
    void put(const QString& text, TextLook look, double x, double top);
    void rule(double from, double to, double y) { page().rules.emplace_back(from, y, to, y); }

    /// Lines in the width from `x` to the right margin, over pages where needed.
    void paragraph(const QString& text, TextLook look, double x = sideMargin);
    /// Pieces of several looks, one after the other, broken as one text.
    void paragraph(std::span<const TextRun> runs, double x = sideMargin);

    std::vector<ReportPage> take() { return std::move(pages_); }
    std::vector<ReportPage>& pages() { return pages_; }

  private:
    Letters letters_;
    std::vector<ReportPage> pages_;
    double y_ = topMargin;
};

}  // namespace aftercurve
