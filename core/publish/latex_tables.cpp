#include "core/publish/latex_tables.h"

#include "core/base/caution.h"
#include "core/publish/clean_text.h"
#include "core/publish/latex_signs.h"
#include "core/publish/printed_table.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestUnbroken = 28;  ///< letters; longer texts are set in lines of 40 mm

/// Writes tables and remembers whether a character needs another engine than pdfLaTeX.
struct LatexWriter {
    bool foreign = false;

    std::string escaped(std::string_view text) {
        bool found = false;
        std::string latex = latexEscaped(text, &found);
        foreign = foreign || found;
        return latex;
    }

    std::string raised(const std::string& mark) {
        return mark.empty() ? std::string{} : "\\textsuperscript{" + escaped(mark) + "}";
    }

    std::string headerRow(const PrintedTable& table) {
        std::string latex;
        for (std::size_t c = 0; c < table.columns.size(); ++c) {
            latex += (c == 0 ? "" : " & ") + escaped(table.columns[c].header);
        }
        return latex + " \\\\\n";
    }

    std::string bodyRows(const PrintedTable& table) {
        std::string latex;
        for (const PrintedRow& row : table.rows) {
            for (std::size_t c = 0; c < row.cells.size(); ++c) {
                latex += (c == 0 ? "" : " & ") + escaped(row.cells[c].text) + raised(row.cells[c].mark);
            }
            latex += " \\\\\n";
        }
        return latex;
    }

    std::string notes(const PrintedTable& table) {
        std::string latex;
        for (const PrintedNote& note : table.notes) {
            latex += "\\par\\noindent{\\footnotesize " + raised(note.mark) + (note.mark.empty() ? "" : "~") +
                     escaped(note.text) + "}\n";
        }
        return latex;
    }

    std::string grid(const PrintedTable& table) {
        std::string columns;
        for (const PrintedColumn& column : table.columns) {
            const bool broken = !column.numeric && column.letters > longestUnbroken;
            columns += column.numeric ? "r" : (broken ? ">{\\raggedright\\arraybackslash}p{40mm}" : "l");
        }
        const std::string caption = "\\caption{" + escaped(table.title) + "}";
        const std::string head = "\\toprule\n" + headerRow(table) + "\\midrule\n";
        if (table.rows.size() > longestLatexFloat) {
            return "{\\small\n\\begin{longtable}{" + columns + "}\n" + caption + " \\\\\n" + head +
                   "\\endfirsthead\n" + head + "\\endhead\n\\bottomrule\n\\endlastfoot\n" + bodyRows(table) +
                   "\\end{longtable}\n" + notes(table) + "}\n";
        }
        return "\\begin{table}[htbp]\n\\centering\n\\small\n" + caption + "\n\\begin{tabular}{" + columns +
               "}\n" + head + bodyRows(table) + "\\bottomrule\n\\end{tabular}\n" + notes(table) +
               "\\end{table}\n";
    }

    std::string table(const PrintedTable& table) {
        if (table.rows.empty() || table.columns.empty()) {
            return "\\paragraph{" + escaped(table.title) + "} " + escaped(table.emptyText) + "\n" +
                   notes(table);
        }
        const bool wide = table.columns.size() > widestLatexPortrait;
        return (wide ? "\\begin{landscape}\n" : "") + grid(table) + (wide ? "\\end{landscape}\n" : "");
    }
};

}  // namespace

std::string latexTables(std::span<const Table> tables, const Publication& publication) {
    LatexWriter writer;
    const std::string title =
        publication.title.empty() ? std::string{"Tables"} : writer.escaped(cleanText(publication.title));
    std::string body = "\\section*{" + title + "}\n" + writer.escaped(cautionText()) + "\n\n";
    for (const Table& table : tables) {
        const PrintedTable printed = printedTable(table);
        body += "% begin of table " + printed.key + "\n" + writer.table(printed) + "% end of table " +
                printed.key + "\n\\clearpage\n\n";
    }
    body += "\\noindent " + writer.escaped(softwareText());
    if (!publication.planSha256.empty()) {
        body += "\\\\ plan SHA-256 {\\small\\texttt{" + writer.escaped(publication.planSha256) + "}}";
    }
    return std::string{writer.foreign
                           ? "% Holds characters that pdfLaTeX does not set: compile with LuaLaTeX or "
                             "XeLaTeX and a font that has them.\n"
                           : ""} +
           "\\documentclass[a4paper]{article}\n\\usepackage[T1]{fontenc}\n\\usepackage[margin=20mm]{geometry}"
           "\n"
           "\\usepackage{array,booktabs,longtable,lscape}\n\\begin{document}\n" +
           body + "\n\\end{document}\n";
}

}  // namespace aftercurve
