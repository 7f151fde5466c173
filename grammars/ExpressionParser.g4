// Expressions of parameters and behavioural sources. Precedence and associativity are those measured on ngspice 39: powers go left to
// right and bind closer than a sign before them (-2^2 is -4), but a sign in the exponent takes the rest of the powers with it:
// 2^-x^2 is 2^(-(x^2)). Every decision looks one token ahead.
parser grammar ExpressionParser;

options { tokenVocab = ExpressionLexer; }

whole : conditional EOF ;

conditional : disjunction ( QUESTION conditional COLON conditional )? ;

disjunction : conjunction ( OR conjunction )* ;

conjunction : equality ( AND equality )* ;

equality : comparison ( ( EQUAL | NOT_EQUAL ) comparison )* ;

comparison : sum ( ( LESS | LESS_OR_EQUAL | GREATER | GREATER_OR_EQUAL ) sum )* ;

sum : product ( ( PLUS | MINUS ) product )* ;

product : signed ( ( TIMES | DIVIDE | REMAINDER | WHOLE_DIVIDE ) signed )* ;

signed : ( PLUS | MINUS | NOT ) signed | power ;

power : primary ( POWER exponent )* ;

exponent : ( PLUS | MINUS | NOT ) power | primary ;

primary
    : NUMBER # literal
    | NAME ( OPEN ( conditional ( COMMA conditional )* )? CLOSE )? # reference
    | VOLTAGE NODE ( COMMA NODE )? CLOSE # voltage
    | CURRENT NODE CLOSE # current
    | OPEN conditional CLOSE # parenthesised
    | OPEN_BRACE conditional CLOSE_BRACE # braced
    ;
