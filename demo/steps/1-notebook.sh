part 'The notebook of last year' 2026-01-10

say 'The winter of 2024-25 and the year after it were kept on paper and typed up as CSV: trees, stocks, prunings, wood,
grafts, looks and care. Importing takes everything or nothing.'
graftbook start --name 'Tarrow orchard' --dates day-first
graftbook import "$data"

say 'The first graft on P24 was dead by May; the stock was cut lower and grafted again. Each attempt is kept.'
graftbook graft show G87

say 'P16 is a hard hedge pear that is being worked over: what stands on which limb.'
graftbook tree show P16

say 'The ties of two bundles slipped in the fridge, and three sticks lay loose. They became a bundle of their own under
both names, and so did what was grafted of them.'
graftbook wood show W15

part 'A winter evening: what took' 2026-01-10

say 'By species first, since kinds differ. k of n comes before any percentage, and what cannot be known is said. Buds of
summer wait until they are forced.'
graftbook take --by species,method --season 2024-25 --as-of 2025-11-15

say 'By when it was made. The early ones were bench grafts and the late ones bark grafts, so this is not timing alone.'
graftbook take --by half-month --season 2024-25 --as-of 2025-11-15

say 'A take is not the end of it: what was alive in autumn. Here deer, wind and drought count too.'
graftbook take --by method --endpoint standing --season 2024-25 --as-of 2025-11-15
