# Sets rows of cells as tables for LaTeX: a new one where the width changes.
BEGIN {
	FS = "\t"
	print "\\documentclass[a4paper]{article}\\usepackage[margin=1cm]{geometry}\\usepackage{textcomp,longtable}"
	print "\\setlength\\tabcolsep{1pt}\\begin{document}\\fontsize{5}{7}\\selectfont"
}
NF != width { if (width) print "\\end{longtable}"; width = NF; printf "\\begin{longtable}{"; for (i = 1; i <= width; i++) printf "l"; print "}" }
{
	gsub(/[&%$#_{}]/, "\\\\&"); gsub(/°/, "\\textdegree{}"); gsub(/µ/, "\\textmu{}"); gsub(/²/, "\\texttwosuperior{}")
	gsub(/\t/, " \\& "); print $0 " \\\\"
}
END { if (width) print "\\end{longtable}"; print "\\end{document}" }
