part 'A tree with many grafts: what has lost its tag' 2027-02-20

say 'The hedge pear P16 has carried grafts for two years. It is walked on a copy of the book, made from its own files.'
tarrow=$GRAFTBOOK_BOOK
graftbook --book "$out/pear.sqlite" start
graftbook --book "$out/pear.sqlite" import "$out/export"
export GRAFTBOOK_BOOK="$out/pear.sqlite"

say 'A label lies in the grass. The graft sat on the west side, about as high as the chest: every one that it may be is
shown with its year, and none is chosen.'
graftbook find --host P16 --bearing W --height 1.3m --within 10cm
graftbook find --host P16 --mark north
graftbook care G57 tag-missing --who Kit
graftbook care G58 tag-illegible --who Kit

say 'A page for the shed wall, limb by limb.'
graftbook tree sheet P16 -o "$out/tree-P16.pdf"

part 'A tree with many grafts: before a limb goes' 2027-02-20

say 'A storm has split the east limb. Bren would cut it off; the book first says what goes with it, and nothing is recorded
until somebody says yes.'
refused 21 limb gone P16 east </dev/null

say 'So wood is saved first, and it is kept as that of the graft it was cut from, not of the hedge pear.'
graftbook prune P16 --from G62 --thinning 2 --save '3 sticks 6-8mm 25cm 5 buds' --store 'barn fridge' --temperature 3C --who Ada
graftbook limb gone P16 east --note 'Split in the storm' --yes --who Bren
graftbook graft show G62

say 'Which stocks stand free: those whose grafts failed first, with what was tried.'
graftbook stock list --free

export GRAFTBOOK_BOOK=$tarrow
rm -f "$out/pear.sqlite"
