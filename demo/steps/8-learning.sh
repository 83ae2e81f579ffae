part 'Winter evening: what the looks add up to' 2026-10-18

say 'Does it matter when? A line is drawn where there is enough to draw it from, and a best window is named only where the
counts carry one. Here they do not, and method and date changed together.'
graftbook take curve --x date --season 2024-25 -o "$out/curve-date.png"

say 'Kinds thrown together give more to draw from and less to believe, and that is said. Here by bench and field:'
graftbook take curve --x wood-age --season 2024-25 --by bench

say 'What was lost on the way, from the day of grafting to the second year.'
graftbook take course --season 2024-25 --by bench -o "$out/course.png"
graftbook take course --season 2024-25 --by bench --event push

say 'The buds of last summer are too few of each sort for a line over the date, so there is nothing to draw.'
refused 21 take curve --by method --endpoint set --season 2024-25 -o "$out/no-line.png"

say 'The winter review: a page of plain sentences, then pictures. As a PDF to print, as one HTML file to send.'
graftbook take review --season 2024-25 -o "$out/review.pdf" -o "$out/review.html"
