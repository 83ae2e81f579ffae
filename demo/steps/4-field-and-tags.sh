part 'Buds set last summer are forced' 2026-03-28

say 'A bud that slept is judged from the day its stock was cut back above it.'
graftbook care G90-G91,G93-G96,G98-G99 headed-back --who Kit
graftbook look G90-G91,G93-G96,G98-G99 forced --who Kit

part 'Grafting in the orchard' 2026-04-18

say 'The old tree gets a second home on P14, where its limb, side and height are kept.'
graftbook tree stage P14 'tight cluster' --bark slipping
graftbook graft W21 P14 --method bark --stock 58mm --scion 7mm --limb 'north scaffold' --bearing N --height 1.7m \
    --tie tape --seal wax --field --who Kit
graftbook graft W22 P15 --method cleft --stock 26mm --limb west --height 1.5m --tie tape --seal wax --field --who Bren

say 'A graft on a graft: G35 grew well last year and now carries a second cultivar.'
graftbook graft W23 G35 --method whip-and-tongue --stock 7.5mm --scion 7mm --tie tape --seal wax --field --who Kit

say 'One stick fewer in the bag than the book has: a count is kept as a count, with the difference.'
graftbook wood count W21 5

part 'Tags' 2026-04-19

say 'Every tree and stock on a Letter sheet, the new grafts on a part-used A4 sheet, stakes for the nursery bed.'
graftbook tags P1-P40 --medium letter-30up -o "$out/tags-letter.pdf"
graftbook tags G114-G116,G118-G121 --medium a4-21up --start 4 -o "$out/tags-a4.pdf"
graftbook tags P20-P26,P28-P36,P38-P40 --medium stake-127x19 -o "$out/tags-stake.pdf"

say 'Every printing is kept as a run, and a spoilt sheet is printed again with the same codes in the same cells.'
graftbook tags runs
graftbook tags again 1 --sheet 2 -o "$out/tags-letter-sheet-2.pdf"

say 'Blank tags with codes given out ahead, for the next grafting day. A graft takes one with --tag.'
graftbook tags blank 21 --for 'barn day' --medium a4-21up -o "$out/tags-blank.pdf"
graftbook tags blanks

say 'The calibration page to lay over the stock, and what was measured on it, kept for this printer.'
graftbook tags calibrate --medium letter-30up -o "$out/calibrate-letter.pdf"
graftbook tags printer office --medium letter-30up --shift-right 0.6 --shift-down -0.3 --measured 99.8mm

say 'One tag as a picture, and read back from it as from a photo of the bench.'
graftbook tags show G114 --png "$out/tag-G114.png"
graftbook tags read "$out/tag-G114.png" --expect G114-G115
