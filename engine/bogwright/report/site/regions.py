"""Names of the regions that ranges are given in: level 3 codes of the World Geographical Scheme (WGSRPD)."""

from __future__ import annotations

_TABLE = """
ABT Alberta|ALA Alabama|ANG Angola|ARK Arkansas|ASK Alaska|AUT Austria|BGM Belgium|BOL Bolivia|BOR Borneo
BRC British Columbia|BZC West-Central Brazil|BZE North-East Brazil|BZL South-East Brazil|BZN North Brazil
BZS South Brazil|CAF Central African Republic|CAL California|CBD Cambodia|CHC South-Central China
CHS South-East China|CLM Colombia|CMN Cameroon|CNT Connecticut|COS Costa Rica|CPP Cape Provinces|CUB Cuba
DEL Delaware|DEN Denmark|ECU Ecuador|ELS El Salvador|ETH Ethiopia|FIN Finland|FLA Florida|FRA France
FRG French Guiana|GAB Gabon|GEO Georgia (USA)|GER Germany|GNL Greenland|GRB Great Britain|GUA Guatemala
GUI Guinea|GUY Guyana|HON Honduras|HUN Hungary|ICE Iceland|ILL Illinois|IND India|INI Indiana|IOW Iowa
IRE Ireland|ITA Italy|JAM Jamaica|JAP Japan|JAW Java|KAM Kamchatka|KEN Kenya|KOR Korea|LAB Labrador|LAO Laos
LES Lesotho|LOU Louisiana|MAI Maine|MAN Manitoba|MAS Massachusetts|MDG Madagascar|MIC Michigan|MIN Minnesota
MLW Malawi|MLY Peninsular Malaysia|MOL Maluku|MOR Morocco|MOZ Mozambique|MRY Maryland|MSI Mississippi
MXC Central Mexico|MXE North-East Mexico|MXG Mexican Gulf|MXN North-West Mexico|MXS South-West Mexico
MXT South-East Mexico|MYA Myanmar|NAM Namibia|NAT KwaZulu-Natal|NBR New Brunswick|NCA North Carolina
NET Netherlands|NFL Newfoundland|NGA Nigeria|NOR Norway|NSC Nova Scotia|NSW New South Wales
NTA Northern Territory|NWC New Caledonia|NWG New Guinea|NWH New Hampshire|NWJ New Jersey
NWT Northwest Territories|NWY New York|NZN New Zealand North|NZS New Zealand South|OFS Free State
OHI Ohio|ONT Ontario|ORE Oregon|PEI Prince Edward Island|PEN Pennsylvania|PER Peru|PHI Philippines|POL Poland
POR Portugal|QLD Queensland|QUE Quebec|RHO Rhode Island|ROM Romania|RWA Rwanda|SAS Saskatchewan
SCA South Carolina|SEN Senegal|SIE Sierra Leone|SOA South Australia|SOM Somalia|SPA Spain|SRL Sri Lanka|SUD Sudan
SUL Sulawesi|SUM Sumatra|SUR Suriname|SWE Sweden|SWI Switzerland|SWZ Eswatini|TAI Taiwan|TAN Tanzania|TAS Tasmania
TEN Tennessee|TEX Texas|THA Thailand|TVL Northern Provinces of South Africa|UGA Uganda|VEN Venezuela|VER Vermont
VIC Victoria|VIE Vietnam|VRG Virginia|WAS Washington State|WAU Western Australia|WIS Wisconsin|WVA West Virginia
YUK Yukon|ZAI DR Congo|ZAM Zambia|ZIM Zimbabwe
"""
NAMES = {entry[:3]: entry[4:] for line in _TABLE.strip().splitlines() for entry in line.split("|")}


def named(code: str) -> str:
    """The region's name; the code or text itself where it is not in the table."""
    return NAMES.get(code, code)
