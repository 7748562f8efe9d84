# Turns the Quillet Lane lot in the working folder into longitude and latitude (WGS 84), heights left as they are.
# Its system rests on NAD83, which PROJ takes as equal to WGS 84: nothing moves but the frame.
mkdir degrees
turned() { ogr2ogr -q -f GPKG -t_srs EPSG:4326 "$@"; }
for layer in lots right_of_way; do
    turned -update degrees/lots.gpkg lots.gpkg "$layer" 2>/dev/null || turned degrees/lots.gpkg lots.gpkg "$layer"
done
for layer in foundation water_leaves curb; do
    turned -update degrees/survey.gpkg survey.gpkg "$layer" 2>/dev/null || turned degrees/survey.gpkg survey.gpkg "$layer"
done
for layer in surfaces trees keep_outs outlets footing_drain easement spread; do
    turned "degrees/$layer.gpkg" "$layer.geojson"
done
turned degrees/utilities.gpkg utilities.shp
turned -s_srs EPSG:3435 -oo X_POSSIBLE_NAMES=east -oo Y_POSSIBLE_NAMES=north degrees/spots.gpkg spots.csv
sed -e 's/\.\(geojson\|shp\|csv\)"/.gpkg"/' -e '/^[xy] = /d' job.toml >degrees/job.toml
