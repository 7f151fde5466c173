// Tokens of netlist cards. The input is logical lines: continuation lines are already joined and comments removed, so that a line
// break always ends a card. Every token keeps its place; the text of a value is taken from the source, never put together again.
lexer grammar CardLexer;

// A name, node, number or piece of a bare expression. A comparison sign inside does not end it: a>=b is one word.
WORD : ( [<>!=] '=' | ~[ \t\n=(){}'",] )+ ;

BRACED : '{' ( BRACED | ~[{}\n] )* '}' ;
QUOTED : '\'' ~['\n]* '\'' ;
STRING : '"' ~["\n]* '"' ;

EQUALS : BLANK* '==' BLANK* ;
ASSIGN : BLANK* '=' BLANK* ;
OPEN : '(' BLANK* ;
CLOSE : BLANK* ')' ;
SEPARATOR : [ \t,]+ ;
EOL : '\n' ;

// A brace or quote without its partner.
STRAY : [{}'"] ;

fragment BLANK : [ \t] ;
