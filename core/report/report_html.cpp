#include "core/report/report_html.h"

#include "core/base/html_text.h"
#include "core/publish/clean_text.h"
#include "core/publish/publication.h"
#include "core/report/inline_svg.h"
#include "core/report/report_style.h"
#include "core/report/table_places.h"

namespace aftercurve {

namespace {

std::string safe(std::string_view text) {
    return htmlEscaped(cleanText(text));
}

std::string tableAnchor(const std::string& key) {
    return "table-" + key;
}

std::string rowAnchor(const std::string& key, std::size_t row) {
    return tableAnchor(key) + "-row-" + std::to_string(row + 1);
}

std::string noteHtml(const std::string& note) {
    return note.empty() ? note : "<p class=\"note\">" + safe(note) + "</p>\n";
}

std::string raised(const std::string& mark) {
    return mark.empty() ? mark : "<sup>" + safe(mark) + "</sup>";
}

std::string explanationsOf(const PrintedTable& table) {
    std::string html;
    for (const PrintedColumn& column : table.columns) {
        if (!column.explanation.empty()) {
            html += "<dt>" + safe(column.header) + "</dt><dd>" + safe(column.explanation) + "</dd>\n";
        }
    }
    return html.empty()
               ? html
               : "<details><summary>What the columns mean</summary>\n<dl>\n" + html + "</dl></details>\n";
}

/// One block after the other, as HTML.
class Writer {
  public:
    Writer(const ReportDocument& document, const std::vector<ReportPicture>& pictures)
        : document_(document), pictures_(pictures), places_(tablePlaces(document)) {}

    std::string page() const;
    std::string operator()(const ReportParagraph& paragraph) const;
    std::string operator()(const ReportProblems& problems) const;
    std::string operator()(const ReportTable& table) const;
    std::string operator()(const ReportFigure& figure) const;
    std::string operator()(const ReportFacts& facts) const;

  private:
    std::string contents() const;
    std::string pictureOf(const ReportFigure& figure) const;

    const ReportDocument& document_;
    const std::vector<ReportPicture>& pictures_;
    std::map<std::string, TablePlace> places_;
};

std::string Writer::operator()(const ReportParagraph& paragraph) const {
    std::string html = "<p>";
    for (const Sentence& sentence : paragraph.sentences) {
        html += (html.size() > 3 ? " " : "") + safe(sentence.text);
        std::string links;
        for (const SentenceLink& link : linksOf(sentence, places_)) {
            links += (links.empty() ? "" : "; ") + std::string{"<a href=\"#"} +
                     (link.hasRow ? rowAnchor(link.table, link.row) : tableAnchor(link.table)) + "\">" +
                     safe(link.text) + "</a>";
        }
        html += links.empty() ? links : " <span class=\"source\">[" + links + "]</span>";
    }
    return html + "</p>\n";
}

std::string Writer::operator()(const ReportProblems& problems) const {
    std::string html = "<ul>\n";
    for (const Problem& problem : problems.problems) {
        const std::string severity{nameOf(problem.severity)};
        const std::string place = placeOf(problem);
        html += "<li><span class=\"" + (problem.acceptedBecause.empty() ? severity : "accepted") + "\">" +
                severity + "</span>: " + (place.empty() ? "" : safe(place) + ": ") + safe(problem.what) +
                (problem.remedy.empty() ? "" : "; " + safe(problem.remedy)) + safe(acceptedText(problem)) +
                "</li>\n";
    }
    return html + "</ul>\n" + noteHtml(problems.note);
}

std::string Writer::operator()(const ReportTable& shown) const {
    const PrintedTable& table = shown.printed;
    const std::string name = "Table " + std::to_string(shown.number) + ". " + table.title;
    const std::string anchor = tableAnchor(table.key);
    std::string html = "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-labelledby=\"" + anchor +
                       "-name\">\n<table id=\"" + anchor + "\">\n<caption id=\"" + anchor + "-name\">" +
                       safe(name) + "</caption>\n<thead>\n<tr>";
    for (const PrintedColumn& column : table.columns) {
        html += std::string{"<th scope=\"col\""} + (column.numeric ? " class=\"n\"" : "") + ">" +
                safe(column.header) + "</th>";
    }
    html += "</tr>\n</thead>\n<tbody>\n";
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
        const PrintedRow& row = table.rows[r];
        html += "<tr id=\"" + rowAnchor(table.key, r) + (row.muted ? "\" class=\"muted\">" : "\">");
        for (std::size_t c = 0; c < row.cells.size(); ++c) {
            const bool numeric = table.columns[c].numeric;
            const bool names = c == 0 && !numeric;
            html += names ? "<th scope=\"row\">" : numeric ? "<td class=\"n\">" : "<td>";
            html += safe(row.cells[c].text) + raised(row.cells[c].mark);
            html += names ? "</th>" : "</td>";
        }
        html += "</tr>\n";
    }
    html += "</tbody>\n</table>\n</div>\n" + noteHtml(shown.note);
    for (const PrintedNote& note : table.notes) {
        html += "<p class=\"note\">" + raised(note.mark) + (note.mark.empty() ? "" : " ") + safe(note.text) +
                "</p>\n";
    }
    return html + explanationsOf(table);
}

std::string Writer::pictureOf(const ReportFigure& figure) const {
    const std::string name = "Figure " + std::to_string(figure.number);
    std::string why = "no picture was made";
    if (figure.spec < pictures_.size()) {
        const ReportPicture& picture = pictures_[figure.spec];
        if (!picture.svg.empty()) {
            const auto svg = inlineSvg(picture.svg, {"figure-" + std::to_string(figure.number) + "-",
                                                     figure.title.empty() ? name : figure.title,
                                                     figure.caption.empty() ? name : figure.caption});
            if (svg) {
                return svg.value();
            }
            why = svg.problem().what;
        } else if (!picture.missing.empty()) {
            why = picture.missing;
        }
    }
    return "<p class=\"note\">Not drawn: " + safe(why) + ".</p>";
}

std::string Writer::operator()(const ReportFigure& figure) const {
    std::string html = "<figure id=\"figure-" + std::to_string(figure.number) + "\">\n" + pictureOf(figure) +
                       "\n<figcaption><strong>Figure " + std::to_string(figure.number) + ".</strong>";
    html += figure.title.empty()
                ? figure.title
                : " <strong>" + safe(figure.title) + (figure.title.ends_with('.') ? "" : ".") + "</strong>";
    html += figure.caption.empty() ? figure.caption : " " + safe(figure.caption);
    return html + "</figcaption>\n</figure>\n";
}

std::string Writer::operator()(const ReportFacts& facts) const {
    std::string html = "<dl>\n";
    for (const ReportFact& fact : facts.facts) {
        html += "<dt>" + safe(fact.label) + "</dt><dd>" + (fact.code ? "<code>" : "") + safe(fact.value) +
                (fact.code ? "</code>" : "") + "</dd>\n";
    }
    return html + "</dl>\n";
}

std::string Writer::contents() const {
    std::string html = "<nav aria-labelledby=\"contents\">\n<h2 id=\"contents\">Contents</h2>\n<ol>\n";
    for (const ReportSection& section : document_.sections) {
        html += "<li><a href=\"#" + safe(section.id) + "\">" + safe(section.heading) + "</a></li>\n";
    }
    return html + "</ol>\n</nav>\n";
}

std::string Writer::page() const {
    const std::string title = safe(document_.title);
    std::string html =
        "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"" + safe(document_.language) +
        "\">\n<head>\n<meta charset=\"utf-8\" />\n<meta name=\"viewport\" "
        "content=\"width=device-width\" />\n<meta name=\"generator\" content=\"" +
        safe(softwareText()) + "\" />\n<title>" + title + "</title>\n<style>" + std::string{reportStyle} +
        "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#main\">Skip to the report</a>\n"
        "<header>\n<h1>" +
        title + "</h1>\n</header>\n";
    html += "<main id=\"main\">\n";
    bool first = true;
    for (const ReportSection& section : document_.sections) {
        const std::string id = safe(section.id);
        html += "<section id=\"" + id + "\" aria-labelledby=\"" + id + "-heading\">\n<h2 id=\"" + id +
                "-heading\">" + safe(section.heading) + "</h2>\n";
        for (const ReportBlock& block : section.blocks) {
            html += std::visit(*this, block);
        }
        html += "</section>\n";
        html += first ? contents() : std::string{};
        first = false;
    }
    return html + "</main>\n<footer><p>" + safe(softwareText()) + "</p></footer>\n</body>\n</html>\n";
}

}  // namespace

std::string reportHtml(const ReportDocument& document, const std::vector<ReportPicture>& pictures) {
    return Writer(document, pictures).page();
}

}  // namespace aftercurve
