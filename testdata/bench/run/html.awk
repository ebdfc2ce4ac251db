# Sets rows of cells as one table of HTML.
BEGIN { print "<meta charset=utf-8><style>@page{size:A4;margin:1cm}td{font:5pt sans-serif}</style><table>" }
{ gsub(/&/, "\\&amp;"); gsub(/</, "\\&lt;"); gsub(/\t/, "<td>"); print "<tr><td>" $0 }
