"""A small site book of our own, with a row in every file, and ways to write and read one."""

from __future__ import annotations

from pathlib import Path

from parts.exchange.merge import Merged, merge
from parts.exchange.reader import read_site_book
from parts.exchange.rules import faults_of
from parts.records.book import Book

SMALL = {
    "site": "key,value\ncurrency,EUR\nhours_per_day,12\nrecords_from,2020-01-01\n",
    "classes": "part_class,failures_per_year,lead_days\nbrake,0.05,90\n",
    "scores": "driver,weight,points\nage,0.30,0:0+1:70\nsources,0.35,0:100+2:40\n"
    "lead_time,0.35,7:0+365:100\n",
    "holidays": "date,name\n2026-12-24,works closed\n",
    "cranes": "crane,name,bay,capacity_t,duty_group,hours_per_year,down_cost_per_day,cover_share\n"
    "C1,Ladle crane,B1,100,M8,6000,50000,0.2\nC2,Store crane,B1,20,M4,1500,4000,0\n",
    "functions": "crane,function,lost_share\nC1,lift,1\nC1,travel,1\nC2,lift,0.5\n",
    "parts": "part,description,part_class,unit_cost,drawing,default_route,life_basis,min_stock\n"
    "P1,disc,brake,950.5,yes,R1,hours,1\nP2,brake shoe,,,,,,\n=K3,contactor,,80,no,,years,0\n",
    "part_numbers": "part,number,owner\nP1,4711,maker\n",
    "positions": "crane,position,parent,part,qty,installed,load_bearing,exchange_hours\n"
    "C1,=H1+S2,,,1,,no,\nC1,=H1+S2-B1,=H1+S2,P1,1,2010-05-01,yes,8\n"
    "C1,=H1+S2-B2,=H1+S2,P1,1,2010-05-01,yes,8\nC1,-K3,,=K3,2,,no,0.5\nC2,-K3,,=K3,1,,,\n",
    "needs": "crane,item,needs,group,at_least\nC1,lift,=H1+S2-B1,brakes,1\n"
    "C1,lift,=H1+S2-B2,brakes,1\nC1,travel,-K3,,\nC2,lift,-K3,,\n",
    "companions": "part,companion,qty,chance\nP1,P2,2,1\nP1,P1,1,0.5\n",
    "substitutes": "part,substitute,extra_hours,both_ways,approval\nP1,P2,4,no,works 2024-03-01\n",
    "suppliers": "supplier,name,kind,active\nS1,First,maker,yes\nS2,Second,repairer,no\n",
    "offers": "supplier,part,kind,unit_price,currency,low,likely,high,unit,basis,route\n"
    "S1,P1,,900,EUR,10,20,30,wk,quoted,\nS2,P1,repair,300,CHF,,40,,d,guessed,\n"
    "S1,P1,made,,,,,,,,R1\n",
    "routes": "route,operation,after,low,likely,high,unit,ahead,ahead_cost,done\n"
    "R1,measure,,1,2,3,wd,yes,500,no\nR1,turn,measure,,10,,,no,,\nR1,test,turn+measure,,1,,,,,\n",
    "movements": "date,part,qty,kind,store,crane,position,order,reverses,key\n"
    "2026-01-01,P1,2,opening,Main,,,,,m1\n2026-02-01,P1,-1,issue,Main,C1,=H1+S2-B1,,,m2\n"
    "2026-02-02,P1,1,reversal,Main,,,,m2,m3\n2026-03-01,P1,0,care,Main,,,,,\n"
    "2026-03-02,P1,1,receipt,Main,,,O1,,\n2026-03-02,P1,1,receipt,Main,,,O1,,\n",
    "reservations": "part,qty,for,needed_on\nP1,1,overhaul,2026-12-01\n",
    "currencies": "currency,rate,dated\nCHF,1.05,2026-01-01\n",
    "orders": "order,supplier,part,qty,ordered_on,quoted_days,received_on\n"
    "O1,S1,P1,2,2026-01-15,60,\n",
    "failures": "crane,position,failed_on,restored_on,part,age_hours,consumed,note\n"
    'C1,=H1+S2-B1,2025-06-01,2025-06-09,P1,41000,P1+P2,"worn, ""blue"""\n',
    "notices": "part,supplier,notice_on,kind,last_buy_on\n=K3,S1,2026-05-01,discontinuance,\n",
    "duty": "crane,mechanism,group,hours_per_year,spectrum,hours_used\n"
    "C1,hoist,M8,3000,1:0.5+0.5:0.5,40000\n",
    "observations": "crane,position,date,what,value\nC1,-K3,2026-01-01,tread_wear_pct,30\n",
    "upgrades": "upgrade,title,cost,lead_days,down_days,life_years\nU1,New brakes,40000,200,3,20\n",
    "upgrade_effects": "upgrade,crane,position,new_part,failures_factor\nU1,C1,=H1+S2-B1,P2,0.5\n",
}


def folder(place: Path, **files: str | bytes | None) -> Path:
    """Write the small book with some files exchanged; None leaves a file out."""
    place.mkdir(exist_ok=True)
    for name, content in {**SMALL, **files}.items():
        if content is not None:
            path = place / f"{name}.csv"
            path.write_bytes(content.encode() if isinstance(content, str) else content)
    return place


def bare(place: Path, **files: str | bytes | None) -> Path:
    """Write a book of only the files named, with one crane, part and position where not named."""
    place.mkdir(exist_ok=True)
    least = {
        "cranes": "crane\nC1\n",
        "parts": "part\nP1\n",
        "positions": "crane,position,part\nC1,K1,P1\n",
    }
    return folder(place, **{**dict.fromkeys(SMALL), **least, **files})


def checked(source: Path, existing: Book | None = None) -> Merged:
    """Read a book over another, with all its faults."""
    merged = merge(existing or Book(), read_site_book(source))
    merged.faults = faults_of(merged)
    return merged


def sentences(source: Path, existing: Book | None = None) -> list[str]:
    """All that is wrong with a book, as a person reads it."""
    return [fault.sentence() for fault in checked(source, existing).faults]
