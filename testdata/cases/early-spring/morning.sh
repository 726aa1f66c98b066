# What is done each morning: the newest forecast, the calendars, and what is told now.
{ echo date,tmin_f,tmax_f; sed -n "s/^$1,//p" forecasts.txt; } > forecast.csv
treewhen feed plan.yaml --as-of "$1" --out calendars > fed.txt
treewhen sap plan.yaml --as-of "$1" --feeds calendars | sed '/season 2013/,$d' > told.txt
echo "== $1"
sed -n '/season 2012/,/^$/p' told.txt | sed '1d;$d'
sed -n '/^  Buds, by/,/\.$/p; s/^\(  Last good sap: [^.]*\.\).*/\1/p' told.txt
