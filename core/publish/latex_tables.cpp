#include "core/publish/latex_tables.h"

#include <algorithm>
#include <vector>

#include "core/base/caution.h"
#include "core/base/number_text.h"
#include "core/publish/clean_text.h"
#include "core/publish/latex_signs.h"
#include "core/publish/printed_table.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestUnbroken = 28;  ///< letters; longer texts are set in lines of 40 mm

/// Columns as wide as their texts, long texts in lines.
std::string naturalWidths(const PrintedTable& table) {
    std::string columns;
    for (const PrintedColumn& column : table.columns) {
        const bool broken = !column.numeric && column.letters > longestUnbroken;
        columns += column.numeric ? "r" : (broken ? ">{\\raggedright\\arraybackslash}p{40mm}" : "l");
    }
    return columns;
}

/// Letters of the longest word, where a header cannot break.
std::size_t longestWord(std::string_view text) {
    std::size_t longest = 0;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        longest = std::max(longest, lettersIn(text.substr(0, end)));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return longest;
}

/// Columns that share the width of the line by their longest text, so that the table fits whatever it holds.
std::string sharedWidths(const PrintedTable& table) {
    std::vector<std::size_t> shares;
    std::size_t sum = 0;
    for (const PrintedColumn& column : table.columns) {
        shares.push_back(
            std::clamp<std::size_t>(std::max(column.letters, longestWord(column.header)), 4, 24) + 1);
        sum += shares.back();
    }
    std::string columns;
    for (std::size_t c = 0; c < shares.size(); ++c) {
        const double share = static_cast<double>(shares[c]) / static_cast<double>(sum);
        columns += std::string{">{\\"} + (table.columns[c].numeric ? "raggedleft" : "raggedright") +
                   "\\arraybackslash}p{\\dimexpr " + fixedNumber(share, 4) + "\\linewidth-2\\tabcolsep}";
    }
    return columns;
}

std::string_view sizeOf(const PrintedTable& table) {
    const std::size_t columns = table.columns.size();
    if (columns <= widestLatexPortrait) {
        return "\\small";
    }
    return columns <= 14 ? "\\scriptsize\\setlength{\\tabcolsep}{3pt}"
                         : "\\tiny\\setlength{\\tabcolsep}{2pt}";
}

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
        std::string latex = table.notes.empty() ? "" : "\\par\\raggedright\n";
        for (const PrintedNote& note : table.notes) {
            latex += "\\par\\noindent{\\footnotesize " + raised(note.mark) + (note.mark.empty() ? "" : "~") +
                     escaped(note.text) + "}\n";
        }
        return latex;
    }

    std::string grid(const PrintedTable& table) {
        const std::string caption = "\\caption{" + escaped(table.title) + "}";
        const std::string head = "\\toprule\n" + headerRow(table) + "\\midrule\n";
        if (table.rows.size() > longestLatexFloat) {
            return "{" + std::string{sizeOf(table)} + "\n\\begin{longtable}{" + sharedWidths(table) + "}\n" +
                   caption + " \\\\\n" + head + "\\endfirsthead\n" + head +
                   "\\endhead\n\\bottomrule\n\\endlastfoot\n" + bodyRows(table) + "\\end{longtable}\n" +
                   notes(table) + "}\n";
        }
        return "\\begin{table}[htbp]\n\\centering\n\\small\n" + caption +
               "\n\\resizebox{\\ifdim\\width>\\linewidth\\linewidth\\else\\width\\fi}{!}{%\n\\begin{tabular}"
               "{" +
               naturalWidths(table) + "}\n" + head + bodyRows(table) + "\\bottomrule\n\\end{tabular}}\n" +
               notes(table) + "\\end{table}\n";
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
           "\\usepackage{array,booktabs,graphicx,longtable,lscape}\n\\begin{document}\n" +
           body + "\n\\end{document}\n";
}

}  // namespace aftercurve
