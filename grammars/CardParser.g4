// Structure of netlist cards: fields, NAME=VALUE assignments, parenthesised groups. What the fields mean depends on the card's first
// letter and on names defined elsewhere, so that is left to the elaboration. The parser is called card by card, so that a card that
// breaks the grammar does not spoil the next. Every decision looks one token ahead.
parser grammar CardParser;

options { tokenVocab = CardLexer; }

card : SEPARATOR? field ( SEPARATOR field? )* ;

field : piece+ ( ASSIGN value? )? ;

value : piece+ ;

piece : WORD | BRACED | QUOTED | STRING | EQUALS | group ;

group : OPEN SEPARATOR? ( field ( SEPARATOR field? )* )? CLOSE ;
