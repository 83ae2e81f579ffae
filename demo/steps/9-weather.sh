part 'What the weather says' 2026-10-19

say 'A logger hung in the top field. Its days come in once; a gap stays a gap, and stands beside every sum.'
graftbook weather import "$data/weather/tarrow-logger.csv" --station 'Top field logger' --latitude 52.3
graftbook weather import "$data/weather/tarrow-logger.csv" --station 'Top field logger'

say 'The same file in the wrong unit is asked about before anything is kept.'
refused 21 weather import "$data/weather/tarrow-logger.csv" --station 'Second logger' --unit F

say 'The nursery bed was under a heated frame for ten days after grafting, and then stood open.'
graftbook weather place 'nursery bed' --constant 18C --from 2026-03-14
graftbook weather use 'Top field logger' --place 'nursery bed' --from 2026-03-24
graftbook weather place

say 'The callus clock as it stood in spring: a band of days where the tables have a basis for one, and what its basis is.'
graftbook weather callus --as-of 2026-03-26
graftbook weather callus G119-G121 --as-of 2026-05-02

say 'Warmth since a day or since grafting, and how it was counted.'
graftbook weather since 2026-01-01 --place 'top field' --until 2026-04-18
graftbook weather since grafting G114-G116,G119 --until 2026-05-31

say 'How much chill the mother tree had when the wood was cut, three ways; and the days themselves.'
graftbook weather chill P1 --since 2025-11-01 --until 2026-01-31
graftbook weather show --place 'nursery bed' --since 2026-03-20 --until 2026-03-27
