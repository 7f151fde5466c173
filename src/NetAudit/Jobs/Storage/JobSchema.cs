namespace NetAudit.Jobs.Storage;

/// <summary>The tables, as one script for each version: a file of an older version is brought up step by step.</summary>
internal static class JobSchema
{
    /// <summary>Marks a file as a job store: "NAJB".</summary>
    public const int ApplicationId = 0x4E414A42;

    /// <summary>Script <c>i</c> takes version <c>i</c> to <c>i + 1</c>. A script that was ever published is never changed.</summary>
    public static readonly string[] Scripts =
    [
        """
            CREATE TABLE circuit (
                key TEXT PRIMARY KEY, name TEXT NOT NULL, netlist TEXT NOT NULL, sheet TEXT
            ) STRICT;
            CREATE TABLE include (
                circuit TEXT NOT NULL REFERENCES circuit, name TEXT NOT NULL, content TEXT NOT NULL,
                PRIMARY KEY (circuit, name)
            ) STRICT;
            CREATE TABLE job (
                number INTEGER PRIMARY KEY AUTOINCREMENT, opened TEXT NOT NULL, changed TEXT NOT NULL, state TEXT NOT NULL,
                circuit TEXT REFERENCES circuit, origin TEXT
            ) STRICT;
            CREATE TABLE field (
                job INTEGER NOT NULL REFERENCES job, name TEXT NOT NULL, content TEXT NOT NULL, PRIMARY KEY (job, name)
            ) STRICT;
            CREATE TABLE answer (
                job INTEGER NOT NULL REFERENCES job, question TEXT NOT NULL, answer TEXT NOT NULL, note TEXT NOT NULL,
                at TEXT NOT NULL, PRIMARY KEY (job, question)
            ) STRICT;
            CREATE TABLE reading (
                job INTEGER NOT NULL REFERENCES job, number INTEGER NOT NULL, phase TEXT NOT NULL, place TEXT NOT NULL,
                kind TEXT NOT NULL, value TEXT NOT NULL, ref TEXT NOT NULL, condition TEXT NOT NULL, note TEXT NOT NULL,
                taken TEXT NOT NULL, taken_back INTEGER NOT NULL DEFAULT 0, PRIMARY KEY (job, number)
            ) STRICT;
            CREATE TABLE step (
                job INTEGER NOT NULL REFERENCES job, number INTEGER NOT NULL, kind TEXT NOT NULL, part TEXT NOT NULL,
                content TEXT NOT NULL, used TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY (job, number)
            ) STRICT;
            CREATE TABLE caution (
                job INTEGER NOT NULL REFERENCES job, content TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY (job, content)
            ) STRICT;
            """,
        """
            CREATE TABLE price (
                job INTEGER NOT NULL REFERENCES job, number INTEGER NOT NULL, content TEXT NOT NULL, labour INTEGER NOT NULL,
                quantity TEXT NOT NULL, unit_price TEXT NOT NULL, PRIMARY KEY (job, number)
            ) STRICT;
            CREATE TABLE setting (name TEXT PRIMARY KEY, content TEXT NOT NULL) STRICT;
            CREATE INDEX job_changed ON job (changed);
            """,
    ];

    /// <summary>The version that this program writes.</summary>
    public static int Version => Scripts.Length;
}
