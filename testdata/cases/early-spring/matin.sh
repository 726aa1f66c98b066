# morning.sh for plan-fr.yaml: the newest forecast, the calendars, and what is told now in French.
{ echo date,tmin_f,tmax_f; sed -n "s/^$1,//p" forecasts.txt; } > forecast.csv
treewhen feed plan-fr.yaml --as-of "$1" --out calendriers > fait.txt
treewhen sap plan-fr.yaml --as-of "$1" --feeds calendriers | sed '/saison 2013/,$d' > dit.txt
echo "== $1"
sed -n '/saison 2012/,/^$/p' dit.txt | sed '1d;$d'
sed -n '/^  Bourgeons, au/,/\.$/p; s/^\(  Dernière bonne eau[^.]*\.\).*/\1/p' dit.txt
