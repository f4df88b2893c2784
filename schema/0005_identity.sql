-- Keys of devices, invitations, and what devices signed.

alter table rundlet.device
  add column public_key     bytea check (octet_length(public_key) = 32),
  add column invitation_key bytea check (octet_length(invitation_key) = 32);
comment on column rundlet.device.public_key is
  'Ed25519: what it hands in must be signed by it. Null: the device has no key, and only reads.';
comment on column rundlet.device.invitation_key is 'The invitation by which it came in; null: made by the server''s keeper.';

-- Masters let people in and out through the service; only as far as its transaction's cellar goes.
grant insert on rundlet.device to rundlet_server;
grant update (role, token_sha256, public_key, revoked_at) on rundlet.device to rundlet_server;

create table rundlet.invitation (
  cellar_id      uuid        not null,
  invitation_key bytea       not null check (octet_length(invitation_key) = 32),
  member_id      uuid        not null,
  member_name    text        not null check (member_name <> ''),
  role           text        not null check (role in ('master', 'hand', 'guest')),
  made_by        uuid,
  created_at     timestamptz not null,
  expires_at     timestamptz not null check (expires_at > created_at),
  revoked_at     timestamptz check (revoked_at >= created_at),
  used_at        timestamptz check (used_at >= created_at),
  used_by        uuid,
  primary key (cellar_id, invitation_key),
  foreign key (cellar_id) references rundlet.cellar (cellar_id),
  check ((used_at is null) = (used_by is null))
);
comment on table rundlet.invitation is 'Who may come in with one device, once.';
comment on column rundlet.invitation.invitation_key is
  'Ed25519. The secret half is in the invitation and nowhere here: a copy of this table lets nobody in.';
comment on column rundlet.invitation.made_by is 'The device whose member invited; null: the server''s keeper.';

create table rundlet.seal (
  cellar_id uuid   not null,
  last_seq  bigint not null check (last_seq >= 1),
  device_id uuid   not null,
  bytes     bytea  not null check (octet_length(bytes) > 0),
  primary key (cellar_id, last_seq)
);
comment on table rundlet.seal is 'What a device signed when it handed in entries; append-only, like the journal.';
comment on column rundlet.seal.last_seq is 'The last place of the journal that was new by it.';
comment on column rundlet.seal.bytes is 'rundlet.v1.Seal, serialised.';

alter table rundlet.invitation enable row level security;
alter table rundlet.invitation force row level security;
create policy by_cellar on rundlet.invitation
  using (cellar_id = (select current_setting('rundlet.cellar_id')::uuid));

alter table rundlet.seal enable row level security;
alter table rundlet.seal force row level security;
create policy by_cellar on rundlet.seal
  using (cellar_id = (select current_setting('rundlet.cellar_id')::uuid));

grant select, insert on rundlet.invitation to rundlet_server;
grant update (revoked_at, used_at, used_by) on rundlet.invitation to rundlet_server;
grant select, insert on rundlet.seal to rundlet_server;

-- Who was put out stays out, and what was used stays used: by such a column something is said once.
create function rundlet.keep_what_was_said() returns trigger language plpgsql as $$
declare
  was jsonb := to_jsonb(old);
  becomes jsonb := to_jsonb(new);
  said text;
begin
  foreach said in array tg_argv loop
    if (was -> said) <> 'null' and (was -> said) <> (becomes -> said) then
      raise exception '%.% is said once, and not changed or taken back', tg_table_name, said
        using errcode = 'insufficient_privilege';
    end if;
  end loop;
  return new;
end $$;
comment on function rundlet.keep_what_was_said() is
  'Trigger: the columns that are its arguments go from null to a value, and then stay.';
create trigger keep_what_was_said before update on rundlet.device
  for each row execute function rundlet.keep_what_was_said('revoked_at');
create trigger keep_what_was_said before update on rundlet.invitation
  for each row execute function rundlet.keep_what_was_said('revoked_at', 'used_at', 'used_by');
