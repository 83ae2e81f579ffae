part 'Grafting at the bench' 2026-03-14

say 'The stocks are measured, then asked what goes on them.'
graftbook stock measure P38-P40 7.2mm 8mm 5/16in
graftbook match --stock P38-P40,P35
graftbook match --why P38 W21 --method whip-and-tongue

say 'Two go on at once; the wood is drawn down, a scion never spanning two sticks.'
graftbook graft W21 P38-P39 --method whip-and-tongue --scion 7mm --tie rubber --seal wax --bench --who Kit

say 'What the book refuses: more grafts than the wood gives, a pair known to fail, a slip of the finger, a tag misread.'
refused 21 graft W22 P20-P25 --method whip-and-tongue
refused 21 graft W21 P35 --method whip-and-tongue
refused 21 graft W21 P40 --method whip-and-tongue --scion 90mm
refused 2 look G114-X pushing

say 'A doubt does not block. It is said, and kept with the graft: P29 is thin for a cleft. (The deer had its first graft.)'
graftbook graft W23 P29 --method cleft --scion 7mm --tie tape --seal wax --bench --who Mo

say 'Mo writes down the wrong bundle. Nothing is rubbed out: the entry is undone, and the right one made.'
graftbook graft W21 P40 --method whip-and-tongue --tie rubber --seal wax --bench --who Mo
wrong=$(newest_entry)
graftbook undo "$wrong" --who Kit --note 'The stick was of W23'
graftbook graft W23 P40 --method whip-and-tongue --tie rubber --seal wax --bench --who Mo
graftbook journal --limit 3
